// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.spark;

import java.io.IOException;
import java.io.Serializable;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import org.apache.hadoop.conf.Configuration;
import org.apache.spark.SparkConf;
import org.apache.spark.api.java.JavaSparkContext;
import org.apache.spark.broadcast.Broadcast;
import org.apache.spark.deploy.SparkHadoopUtil;
import org.apache.spark.util.SerializableConfiguration;
import org.leiogauge.cohort.CaseJob;
import org.leiogauge.cohort.CaseResult;
import org.leiogauge.cohort.CaseRunner;
import org.leiogauge.cohort.CohortManifest;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.WholeFolder;
import org.leiogauge.task.Workers;
import scala.Function1;
import scala.Function2;
import scala.collection.Iterator;
import scala.reflect.ClassTag;
import scala.reflect.ClassTag$;
import scala.runtime.BoxedUnit;

/**
 * Runs cases under Spark, one task each: on the cluster that {@code spark-submit} names, else in this process with as many
 * threads as there are workers. Where a machine sees the cohort's folder it writes the case there itself, else it sends the
 * case's folder to the driver, which writes it.
 */
public final class SparkRunner implements CaseRunner {
    private static final String STAGED_BYTES = "spark.leiogauge.stagedBytes";
    private static final long STAGED_BYTES_STANDARD = 8L << 30;
    private static final long LONGEST_MANIFEST = 256L << 20;
    private static final String GROUP = "leiogauge";

    @Override
    public String name() {
        return "spark";
    }

    /** @param place a file, or one on any file system that Hadoop reads, as {@code hdfs://host/cases.csv} */
    @Override
    public CohortManifest manifest(String place) throws InputException {
        if (!HadoopPlaces.isRemote(place)) return CaseRunner.super.manifest(place);
        try {
            HadoopPlaces places = new HadoopPlaces(SparkHadoopUtil.get().newConfiguration(new SparkConf()));
            Path named = places.named(place);
            Path folder = Files.createTempDirectory("leiogauge-");
            try {
                Path copy = folder.resolve(named.getFileName().toString());
                places.copy(HadoopPlaces.hadoop(named).orElseThrow(), copy, 0, LONGEST_MANIFEST);
                return CohortManifest.read(copy, named, places);
            } finally {
                WholeFolder.delete(folder);
            }
        } catch (IOException e) {
            throw unreadable(place, e);
        } catch (UncheckedIOException e) {
            throw unreadable(place, e.getCause());
        }
    }

    private static InputException unreadable(String place, IOException e) {
        return new InputException(place, "", String.valueOf(e.getMessage()), "a manifest that Hadoop can read");
    }

    @Override
    public List<CaseResult> run(List<CaseJob> jobs, Workers workers, long memoryBytes, Progress progress)
            throws IOException {
        if (jobs.isEmpty()) return List.of();
        SparkConf conf = conf(workers.threads());
        Path cases = jobs.get(0).cases().toAbsolutePath();
        Path token = cases.resolve(".seen-" + UUID.randomUUID());
        Errand.Common common = new Errand.Common(
                SettingsFile.text(jobs.get(0).settings()),
                jobs.get(0).software(),
                cases.toString(),
                token.getFileName().toString(),
                memoryBytes,
                conf.getLong(STAGED_BYTES, STAGED_BYTES_STANDARD));
        Files.createFile(token);
        try (JavaSparkContext spark = new JavaSparkContext(conf)) {
            return run(spark, jobs, common, progress);
        } finally {
            Files.deleteIfExists(token);
        }
    }

    private static SparkConf conf(int threads) {
        SparkConf conf = new SparkConf().setIfMissing("spark.app.name", "leiogauge cohort");
        if (!conf.contains("spark.master"))
            conf.setMaster("local[" + threads + "]")
                    .setIfMissing("spark.driver.host", "127.0.0.1")
                    .setIfMissing("spark.driver.bindAddress", "127.0.0.1")
                    .setIfMissing("spark.ui.enabled", "false");
        // results go to disk as they come: together they may be large
        return conf.setIfMissing("spark.driver.maxResultSize", "0").setIfMissing("spark.log.level", "ERROR");
    }

    private static List<CaseResult> run(
            JavaSparkContext spark, List<CaseJob> jobs, Errand.Common common, Progress progress) throws IOException {
        List<Errand> errands =
                jobs.stream().map(job -> Errand.of(job, !spark.isLocal())).toList();
        Broadcast<SerializableConfiguration> configuration =
                spark.broadcast(new SerializableConfiguration(spark.hadoopConfiguration()));
        Answers answers = new Answers(spark, jobs, progress);
        spark.setJobGroup(GROUP, "measuring cases", false);
        try {
            spark.sc()
                    .runJob(
                            spark.parallelize(errands, errands.size()).rdd(),
                            new Work(common, configuration),
                            answers,
                            ANSWER);
        } catch (Exception e) {
            // Spark throws its own checked one, which no signature of Scala names
            answers.rethrow();
            throw new IOException("Spark stopped: " + firstLine(e), e);
        }
        answers.rethrow();
        return answers.results();
    }

    private static String firstLine(Exception e) {
        return String.valueOf(e.getMessage()).lines().findFirst().orElse("no reason given");
    }

    private static final ClassTag<Errand.Answer> ANSWER = ClassTag$.MODULE$.apply(Errand.Answer.class);

    /** What a task does: it has one case. */
    private record Work(Errand.Common common, Broadcast<SerializableConfiguration> configuration)
            implements Function1<Iterator<Errand>, Errand.Answer>, Serializable {
        @Override
        public Errand.Answer apply(Iterator<Errand> errands) {
            Configuration hadoop = configuration.value().value();
            return errands.next().run(common, hadoop);
        }
    }

    /** Takes answers as they come, on Spark's own thread. */
    private static final class Answers implements Function2<Object, Errand.Answer, BoxedUnit> {
        private final JavaSparkContext spark;
        private final Map<Integer, CaseJob> jobs = new HashMap<>();
        private final CaseResult[] results;
        private final List<CaseJob> order;
        private final Progress progress;

        private int done;
        private IOException failed;
        private RuntimeException cancelled;

        Answers(JavaSparkContext spark, List<CaseJob> jobs, Progress progress) {
            this.spark = spark;
            this.order = jobs;
            this.progress = progress;
            this.results = new CaseResult[jobs.size()];
            jobs.forEach(job -> this.jobs.put(job.number(), job));
        }

        @Override
        public synchronized BoxedUnit apply(Object partition, Errand.Answer answer) {
            try {
                if (!answer.stop().isEmpty()) throw new IOException(answer.stop());
                if (answer.packed().length > 0) keep(answer);
                results[(Integer) partition] = answer.result();
                progress.at((double) ++done / results.length);
            } catch (IOException e) {
                if (failed == null) failed = e;
                spark.cancelJobGroup(GROUP);
            } catch (RuntimeException e) {
                if (cancelled == null) cancelled = e;
                spark.cancelJobGroup(GROUP);
            }
            return BoxedUnit.UNIT;
        }

        private void keep(Errand.Answer answer) throws IOException {
            CaseJob job = jobs.get(answer.number());
            Path unnamed = job.cases().resolve("." + answer.number());
            WholeFolder.delete(unnamed);
            Packed.unpack(answer.packed(), unnamed);
            job.keep(unnamed);
        }

        synchronized void rethrow() throws IOException {
            if (failed != null) throw failed;
            if (cancelled != null) throw cancelled;
        }

        synchronized List<CaseResult> results() {
            if (Arrays.asList(results).contains(null))
                throw new IllegalStateException(order.size() + " cases, and not an answer for each");
            return List.of(results);
        }
    }
}

// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.StreamSupport;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVRecord;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.task.InputException;

/** The published reference data, which lie beside the checkout, and how each of them is processed. */
final class Standard {
    static final Path FOLDER = Path.of("..", "shared", "standards", "ibsi");

    private Standard() {}

    static void assumePresent() {
        boolean isThere = Files.isRegularFile(FOLDER.resolve("ibsi1-features.csv"));
        if (!isThere) System.out.println("SKIPPED: no reference data of the standard in " + FOLDER);
        assumeTrue(isThere, "no reference data of the standard in " + FOLDER);
    }

    /** A data set under one of the standard's configurations. */
    record Setup(String dataset, String configuration, List<Settings> settings) {
        Volume image() {
            try {
                return NiftiReader.read(FOLDER.resolve(dataset + "-phantom/image.nii.gz"));
            } catch (InputException e) {
                throw new IllegalStateException(e);
            }
        }

        Mask mask() {
            try {
                return NiftiReader.readMask(FOLDER.resolve(dataset + "-phantom/mask.nii.gz"));
            } catch (InputException e) {
                throw new IllegalStateException(e);
            }
        }

        String title() {
            return dataset.equals("digital") ? "Digital phantom" : "CT phantom, configuration " + configuration;
        }
    }

    static Setup digital() {
        Settings three =
                settings(3, Settings.Resegment.NONE, Optional.empty(), new Settings.Discretise.FixedWidth(1, 1));
        Settings two = settings(2, Settings.Resegment.NONE, Optional.empty(), new Settings.Discretise.FixedWidth(1, 1));
        return new Setup("digital", "", List.of(two, three));
    }

    static Setup a() {
        return new Setup(
                "ct",
                "A",
                List.of(settings(2, range(-500, 400), Optional.empty(), new Settings.Discretise.FixedWidth(25, -500))));
    }

    static Setup b() {
        return new Setup(
                "ct",
                "B",
                List.of(settings(
                        2, range(-500, 400), linear(new Spacing(2, 2, 3)), new Settings.Discretise.FixedNumber(32))));
    }

    static Setup c() {
        Settings s = settings(
                3, range(-1000, 400), linear(new Spacing(2, 2, 2)), new Settings.Discretise.FixedWidth(25, -1000));
        return new Setup(
                "ct",
                "C",
                List.of(new Settings(
                        3,
                        s.resegment(),
                        s.resample(),
                        s.discretise(),
                        new Settings.IntensityVolume.FixedWidth(2.5, -1000),
                        s.texture(),
                        s.families())));
    }

    private static Settings.Resegment range(double low, double high) {
        return new Settings.Resegment(Optional.of(new Settings.Range(low, high)), OptionalDouble.empty());
    }

    private static Optional<Settings.Resample> linear(Spacing spacing) {
        return Optional.of(
                new Settings.Resample(spacing, Settings.ImageKernel.LINEAR, Settings.MaskKernel.LINEAR, true));
    }

    private static Settings settings(
            int dimensions,
            Settings.Resegment resegment,
            Optional<Settings.Resample> resample,
            Settings.Discretise discretise) {
        return new Settings(
                dimensions,
                resegment,
                resample,
                discretise,
                new Settings.IntensityVolume.None(),
                new Settings.Texture(1, 0),
                List.of(Family.values()));
    }

    /** One row of the table of reference values. */
    record Reference(
            String family,
            String feature,
            String code,
            String aggregationCode,
            double value,
            double tolerance,
            String printed) {
        static Reference of(CSVRecord row) {
            double value = Double.parseDouble(row.get("value"));
            String tolerance = row.get("tolerance");
            // Values are printed to three digits: half a unit of the third one is what the print leaves open.
            double digit = Math.pow(10, Math.floor(Math.log10(Math.abs(value))) - 2);
            double allowed = Math.max(tolerance.isEmpty() ? 0 : Double.parseDouble(tolerance), digit / 2);
            return new Reference(
                    row.get("family").toLowerCase(Locale.ROOT),
                    row.get("feature").toLowerCase(Locale.ROOT),
                    row.get("code"),
                    row.get("aggregation_code"),
                    value,
                    allowed,
                    row.get("value"));
        }
    }

    /** The agreed values of one setup; a row without a value has none. */
    static List<Reference> references(Setup setup) {
        return rows(FOLDER.resolve("ibsi1-features.csv")).stream()
                .filter(r -> r.get("dataset").equals(setup.dataset())
                        && r.get("configuration").equals(setup.configuration())
                        && !r.get("value").isEmpty())
                .map(Reference::of)
                .toList();
    }

    static List<CSVRecord> rows(Path file) {
        try (var parser = CSVFormat.DEFAULT
                .builder()
                .setHeader()
                .setSkipHeaderRecord(true)
                .get()
                .parse(Files.newBufferedReader(file, StandardCharsets.UTF_8))) {
            return StreamSupport.stream(parser.spliterator(), false).toList();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}

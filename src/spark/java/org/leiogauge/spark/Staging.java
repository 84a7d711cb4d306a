// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.spark;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.apache.hadoop.fs.FileStatus;
import org.apache.hadoop.fs.LocatedFileStatus;
import org.apache.hadoop.fs.RemoteIterator;
import org.leiogauge.cohort.CohortCase;

/** Brings what a case is measured from onto this machine: its study, its outline and its case file, no more than a bound. */
final class Staging {
    private static final int MOST_FILES = 100_000;

    private final HadoopPlaces places;
    private final Path folder;
    private final long mostBytes;

    private final Map<Path, Path> copies = new LinkedHashMap<>();
    private long bytes;

    /** @param mostBytes of all files together */
    Staging(HadoopPlaces places, Path folder, long mostBytes) {
        this.places = places;
        this.folder = folder;
        this.mostBytes = mostBytes;
    }

    /** The case with its files on this machine; those that are here already stay where they are. */
    CohortCase bring(CohortCase one) throws IOException {
        Path study = study(one.study());
        Path outline = file(one.outline(), "outline");
        Optional<Path> caseFile = Optional.empty();
        if (one.caseFile().isPresent())
            caseFile = Optional.of(file(one.caseFile().get(), "case"));
        return new CohortCase(
                one.line(), one.name(), study, outline, caseFile, one.site(), one.reader(), one.outcome());
    }

    /** A message with the places as the user knows them. */
    String asNamed(String message) {
        String text = message;
        for (Map.Entry<Path, Path> copy : copies.entrySet())
            text = text.replace(copy.getValue().toString(), copy.getKey().toString());
        return text;
    }

    private Path study(Path study) throws IOException {
        Optional<org.apache.hadoop.fs.Path> there = HadoopPlaces.hadoop(study);
        if (there.isEmpty()) return study;
        Path here = folder.resolve("study");
        copies.put(study, here);
        FileStatus root = places.fileSystem(there.get()).getFileStatus(there.get());
        for (org.apache.hadoop.fs.Path file : files(there.get())) {
            String name = root.getPath().toUri().relativize(file.toUri()).getPath();
            copy(file, inside(here, name));
        }
        return here;
    }

    private List<org.apache.hadoop.fs.Path> files(org.apache.hadoop.fs.Path study) throws IOException {
        List<org.apache.hadoop.fs.Path> files = new ArrayList<>();
        RemoteIterator<LocatedFileStatus> all = places.fileSystem(study).listFiles(study, true);
        while (all.hasNext()) {
            if (files.size() == MOST_FILES) throw new IOException(study + " has more than " + MOST_FILES + " files");
            files.add(all.next().getPath());
        }
        return files;
    }

    // What lies in the study's folder has come with it.
    private Path file(Path file, String kind) throws IOException {
        Optional<org.apache.hadoop.fs.Path> there = HadoopPlaces.hadoop(file);
        if (there.isEmpty()) return file;
        for (Map.Entry<Path, Path> copy : copies.entrySet())
            if (file.startsWith(copy.getKey()))
                return copy.getValue().resolve(copy.getKey().relativize(file).toString());
        Path here = folder.resolve(kind).resolve(file.getFileName().toString());
        copies.put(file, here);
        copy(there.get(), here);
        return here;
    }

    private void copy(org.apache.hadoop.fs.Path from, Path to) throws IOException {
        bytes = places.copy(from, to, bytes, mostBytes);
    }

    private static Path inside(Path folder, String name) throws IOException {
        Path file = folder.resolve(name).normalize();
        if (!file.startsWith(folder)) throw new IOException(name + " lies outside its study");
        return file;
    }
}

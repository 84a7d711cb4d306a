// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;

/**
 * A series of images as its headers tell it; voxels are read by {@link SeriesReader}. Names as in PS3.6, times in ms.
 *
 * <p>It does not print what it holds: descriptions and paths may name the patient.
 *
 * @param frameOfReferenceUid empty where none is stated
 * @param bValues in s/mm², each once, ascending
 * @param echoTimes each once, ascending
 * @param temporalPositions number of time points as far as the headers tell
 * @param contrastStartSeconds of the day
 * @param problems what is wrong with it, one line each
 * @param slices its frames, in no particular order
 */
public record ImageSeries(
        String seriesUid,
        String studyUid,
        String frameOfReferenceUid,
        String modality,
        String description,
        String protocol,
        OptionalInt number,
        List<String> imageType,
        List<String> scanningSequence,
        List<String> sequenceVariant,
        List<String> scanOptions,
        OptionalDouble repetitionTime,
        OptionalDouble echoTime,
        OptionalDouble inversionTime,
        OptionalDouble flipAngle,
        OptionalDouble fieldStrength,
        Optional<String> contrastAgent,
        OptionalDouble contrastStartSeconds,
        OptionalDouble acquiredSeconds,
        List<Double> bValues,
        List<Double> echoTimes,
        int temporalPositions,
        String manufacturer,
        String model,
        List<String> problems,
        List<Slice> slices) {

    public ImageSeries {
        imageType = List.copyOf(imageType);
        scanningSequence = List.copyOf(scanningSequence);
        sequenceVariant = List.copyOf(sequenceVariant);
        scanOptions = List.copyOf(scanOptions);
        bValues = List.copyOf(bValues);
        echoTimes = List.copyOf(echoTimes);
        problems = List.copyOf(problems);
        slices = List.copyOf(slices);
    }

    /** Number of images, counting each frame. */
    public int images() {
        return slices.size();
    }

    /** A file of it, for messages. */
    public Path firstFile() {
        return slices.get(0).header().file();
    }

    /** The header of one of its objects, which holds the patient's identity: to be copied into derived objects. */
    public DataSet header() {
        return slices.get(0).header().set();
    }

    /** The patient's identity, which is to be asked for knowingly and never printed by chance. */
    public Identity identity() {
        DataSet set = header();
        return new Identity(
                set.text(Tag.PATIENT_NAME).orElse(""),
                set.text(Tag.PATIENT_ID).orElse(""),
                set.text(Tag.PATIENT_BIRTH_DATE).orElse(""));
    }

    /** Who the patient is. */
    public record Identity(String name, String id, String birthDate) {
        @Override
        public String toString() {
            return "Identity[…]";
        }
    }

    ImageSeries withProblem(String problem) {
        List<String> more = new java.util.ArrayList<>(problems);
        more.add(problem);
        return new ImageSeries(
                seriesUid,
                studyUid,
                frameOfReferenceUid,
                modality,
                description,
                protocol,
                number,
                imageType,
                scanningSequence,
                sequenceVariant,
                scanOptions,
                repetitionTime,
                echoTime,
                inversionTime,
                flipAngle,
                fieldStrength,
                contrastAgent,
                contrastStartSeconds,
                acquiredSeconds,
                bValues,
                echoTimes,
                temporalPositions,
                manufacturer,
                model,
                more,
                slices);
    }

    /** As messages name it. */
    public String label() {
        return "series " + (number.isPresent() ? number.getAsInt() + " " : "") + seriesUid;
    }

    @Override
    public String toString() {
        return "ImageSeries[" + label() + ", " + images() + " images]";
    }
}

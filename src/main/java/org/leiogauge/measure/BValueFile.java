// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.leiogauge.task.InputException;

/** The b-values of a NIfTI file's volumes, in a text file of the same name that ends in {@code .bval}: numbers in s/mm². */
final class BValueFile {
    private static final int LONGEST = 1 << 20;

    private BValueFile() {}

    /** @throws InputException if there is none beside the file, or it does not hold one b-value per volume */
    static List<Double> beside(Path nifti, int volumes) throws InputException {
        String name = nifti.getFileName().toString().replaceFirst("(?i)\\.(nii|hdr|img)(\\.gz)?$", "");
        Path file = nifti.resolveSibling(name + ".bval");
        if (!Files.isRegularFile(file))
            throw new InputException(
                    nifti, "b-values", "no " + name + ".bval beside it", "that file, or b-values given by hand");
        List<Double> values = new ArrayList<>();
        for (String word : text(file).strip().split("\\s+")) values.add(bValue(file, word));
        if (values.size() != volumes)
            throw new InputException(file, "b-values", values.size() + " values", "one per volume, " + volumes);
        return values;
    }

    private static double bValue(Path file, String word) throws InputException {
        try {
            double value = Double.parseDouble(word);
            if (value >= 0 && value < Double.POSITIVE_INFINITY) return value;
        } catch (NumberFormatException e) {
            // is said below
        }
        throw new InputException(file, "b-value", word, "a number, 0 or more, in s/mm2");
    }

    private static String text(Path file) throws InputException {
        try {
            if (Files.size(file) > LONGEST)
                throw new InputException(file, "", Files.size(file) + " bytes", "a short list of b-values");
            return new String(Files.readAllBytes(file), StandardCharsets.ISO_8859_1);
        } catch (IOException e) {
            throw InputException.unreadable(file, e, "a list of b-values");
        }
    }
}

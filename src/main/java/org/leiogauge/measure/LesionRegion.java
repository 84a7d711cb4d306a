// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Files;
import java.util.List;
import java.util.Optional;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.task.InputException;

/**
 * Which region of the outline's file is the case's lesion, so that no lesion's numbers bear another's name.
 *
 * @param caseFile the case, whose lesion is named as it will stand in the tables
 * @param roi which region to read; absent where the file holds one, or where it cannot be told
 * @param decisions what was decided where the names of region and lesion differ, or where one was picked
 */
record LesionRegion(CaseFile caseFile, Optional<String> roi, List<String> decisions) {
    /**
     * Picks the region and names the lesion. A region that was asked for stays; where there is no case file, the lesion bears
     * its name. Of several regions the one named as the case file's lesion is picked.
     *
     * @throws InputException if another region was asked for than the one named as the case file's lesion
     */
    static LesionRegion of(CaseRequest request, CaseFile known) throws InputException {
        LesionRegion asAsked = new LesionRegion(known, request.roi(), List.of());
        // a mask names no region, and who reads the file says what is wrong with it
        if (!Files.isRegularFile(request.outline()) || NiftiReader.isNamedSo(request.outline())) return asAsked;
        List<String> names = OutlineFile.names(request.outline());
        String lesion = known.lesion();
        if (request.roi().isEmpty() && names.size() > 1)
            return request.caseFile().isPresent() && names.contains(lesion)
                    ? new LesionRegion(
                            known,
                            Optional.of(lesion),
                            List.of("of the outline's " + names.size() + " regions the one named as the case file's"
                                    + " lesion is measured, " + lesion))
                    : asAsked;
        String region = request.roi().orElse(names.isEmpty() ? "" : names.get(0));
        if (region.equals(lesion) || !names.contains(region)) return asAsked;
        if (request.caseFile().isEmpty() && request.roi().isPresent())
            return new LesionRegion(
                    known.ofLesion(region),
                    request.roi(),
                    List.of("no case file: the lesion is named as its region, " + region));
        if (names.contains(lesion))
            throw new InputException(
                    request.outline(),
                    "--roi",
                    region + " for the lesion " + lesion + " of "
                            + request.caseFile().get() + ", while there is a region " + lesion,
                    "--roi " + lesion + ", or a case file with lesion: " + region);
        // a name that nobody asked for may be a patient's
        String measured = request.roi().isPresent() ? "region " + region : "the outline's region, of another name,";
        return new LesionRegion(known, request.roi(), List.of(measured + " is measured as lesion " + lesion));
    }
}

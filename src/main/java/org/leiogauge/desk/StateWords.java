// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.Locale;
import java.util.Optional;
import org.leiogauge.dicom.Tag;
import org.leiogauge.image.Index;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.study.CaseFile;

/** What stands on the desk in words: whose case, and what lies under the crosshair. A blank where there is nothing to say. */
final class StateWords {
    private StateWords() {}

    /** The case and the lesion; with the patient's name only where the reader asked for it. */
    static String caseAndLesion(DeskModel model) {
        if (model.study().isEmpty()) return " ";
        CaseFile caseFile = model.caseFile();
        String name = model.isShowingName()
                ? patientName(model.lightbox()).orElse("no name in the study")
                : caseFile.caseName();
        return Plain.of(name + " · " + caseFile.lesion());
    }

    private static Optional<String> patientName(Lightbox lightbox) {
        return lightbox.slots().stream()
                .flatMap(slot -> slot.picture().stream())
                .flatMap(picture -> picture.content().drawnOn().stream())
                .flatMap(on -> on.header().text(Tag.PATIENT_NAME).stream())
                .filter(name -> !name.isBlank())
                .findFirst();
    }

    /** The crosshair's place in patient space, and the values of the active series and of the maps there. */
    static String underCrosshair(Lightbox lightbox, Layers layers) {
        if (lightbox.slots().stream().allMatch(slot -> slot.picture().isEmpty())) return " ";
        Point at = lightbox.cursor();
        StringBuilder words = new StringBuilder(String.format(
                Locale.ROOT,
                "%s %.1f  %s %.1f  %s %.1f mm",
                at.x() < 0 ? "R" : "L",
                Math.abs(at.x()),
                at.y() < 0 ? "A" : "P",
                Math.abs(at.y()),
                at.z() < 0 ? "F" : "H",
                Math.abs(at.z())));
        lightbox.activePicture()
                .flatMap(picture ->
                        value(picture, lightbox.slots().get(lightbox.active()).frame(), at))
                .ifPresent(value -> words.append("   ").append(value));
        for (Layer layer : layers.shown()) {
            String value = layer.words(SlicePainter.value(layer, at));
            if (!value.isEmpty())
                words.append("   ").append(layer.title()).append(' ').append(value);
        }
        return Plain.of(words.toString());
    }

    private static Optional<String> value(Picture picture, int frame, Point at) {
        Index index = picture.grid().index(at);
        Size size = picture.grid().size();
        int x = (int) Math.round(index.x());
        int y = (int) Math.round(index.y());
        int z = (int) Math.round(index.z());
        if (x < 0 || y < 0 || z < 0 || x >= size.x() || y >= size.y() || z >= size.z()) return Optional.empty();
        return Optional.of(picture.title()
                + String.format(Locale.ROOT, " %.4g", picture.volume(frame).at(x, y, z)));
    }
}

// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.phantom.LesionSettings.Bumps;
import org.leiogauge.phantom.LesionSettings.Compartment;
import org.leiogauge.phantom.LesionSettings.Place;
import org.leiogauge.task.InputException;

/** Studies after textbook patterns. All are invented. */
public enum Preset {
    DEMO("Invented: a cellular-looking mass beside an ordinary leiomyoma"),
    ORDINARY("Invented after the textbook pattern: ordinary leiomyoma, dark on T2, sharp"),
    HYALINE("Invented after the textbook pattern: hyaline degeneration, very dark on T2, hardly enhancing"),
    CYSTIC("Invented after the textbook pattern: cystic degeneration, bright pockets that do not enhance"),
    MYXOID("Invented after the textbook pattern: myxoid degeneration, bright on T2, slow enhancement"),
    RED("Invented after the textbook pattern: red degeneration, bright rim on T1, no enhancement"),
    CELLULAR("Invented after the textbook pattern: cellular leiomyoma, intermediate T2, restricted, sharp"),
    SARCOMA("Invented after the textbook pattern: sarcoma-like mass, irregular, necrotic, bleeding, restricted"),
    HARD_BENIGN("Invented hard case: a degenerated benign mass that looks worrying"),
    HARD_MALIGNANT("Invented hard case: a malignant mass that looks bland"),
    ICE_WATER("Invented: a tube of water at 0 °C, ADC 1.10e-3 mm2/s");

    private final String title;

    Preset(String title) {
        this.title = title;
    }

    /** What it is, in one line that says that it is invented. */
    public String title() {
        return title;
    }

    /** Its name in settings. */
    public String key() {
        return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    /** @throws InputException if there is none of that name, saying which there are */
    public static Preset named(String key) throws InputException {
        for (Preset preset : values()) if (preset.key().equals(key)) return preset;
        throw new InputException("preset", "", key, "one of " + keys());
    }

    /** The names of all. */
    public static String keys() {
        return Arrays.stream(values()).map(Preset::key).collect(Collectors.joining(", "));
    }

    public PhantomSettings settings() {
        boolean tube = this == ICE_WATER;
        return new PhantomSettings(
                this,
                tube ? PhantomSettings.Scene.TUBE : PhantomSettings.Scene.PELVIS,
                20260 + ordinal(),
                PhantomSettings.Matrix.DEMO,
                lesions(),
                tissues(),
                4,
                ScannerSettings.standard(),
                SeriesSettings.standard(false),
                4,
                1.5,
                DicomSettings.standard());
    }

    private List<LesionSettings> lesions() {
        return switch (this) {
            case DEMO -> List.of(demo(), small());
            case ORDINARY -> List.of(benign(Tissue.LEIOMYOMA));
            case HYALINE ->
                List.of(benign(Tissue.LEIOMYOMA, new Compartment(Tissue.HYALINE, Place.CENTRAL_CLOUD, 0.6, 7, 1)));
            case CYSTIC -> List.of(benign(Tissue.LEIOMYOMA, new Compartment(Tissue.CYSTIC, Place.PATCHES, 0.4, 5, 9)));
            case MYXOID ->
                List.of(benign(Tissue.LEIOMYOMA, new Compartment(Tissue.MYXOID, Place.CENTRAL_CLOUD, 0.7, 9, 1)));
            case RED -> List.of(benign(Tissue.NECROTIC, Compartment.of(Tissue.HAEMORRHAGE, Place.RIM, 0.3)));
            case CELLULAR -> List.of(benign(Tissue.CELLULAR));
            case SARCOMA -> List.of(sarcoma());
            case HARD_BENIGN -> List.of(hardBenign());
            case HARD_MALIGNANT -> List.of(hardMalignant());
            case ICE_WATER -> List.of(water());
        };
    }

    private Map<Tissue, TissueProperties> tissues() {
        Map<Tissue, TissueProperties> map = new EnumMap<>(TissueProperties.standard());
        if (this == RED) {
            // coagulated, not liquid: dark to intermediate on T2
            map.put(Tissue.NECROTIC, new TissueProperties(1000, 60, 35, 0.8, 1.1, 0, 0, 0, 10, 0, 0.1, 0.08, 0));
        }
        if (this == HARD_MALIGNANT)
            map.put(
                    Tissue.SARCOMA,
                    new TissueProperties(1200, 72, 45, 0.8, 0.92, 0, 0.5, 20, 22, 0.05, 0.07, 0.08, 0.1));
        return map;
    }

    private static LesionSettings benign(Tissue tissue, Compartment... compartments) {
        return lesion(tissue, Map.of(3, 0.015, 4, 0.01), Bumps.NONE, Bumps.NONE, 0.8, compartments);
    }

    private static LesionSettings lesion(
            Tissue tissue,
            Map<Integer, Double> roughness,
            Bumps lobes,
            Bumps tongues,
            double blur,
            Compartment... compartments) {
        return new LesionSettings(
                "L1",
                new Point(16, -6, 20),
                new Vector(32, 27, 29),
                20,
                tissue,
                roughness,
                lobes,
                tongues,
                blur,
                List.of(compartments));
    }

    private static LesionSettings demo() {
        return lesion(
                Tissue.CELLULAR,
                Map.of(3, 0.02, 5, 0.015, 8, 0.01),
                new Bumps(5, 0.12, 22),
                Bumps.NONE,
                1.5,
                new Compartment(Tissue.NECROTIC, Place.CENTRAL_CLOUD, 0.18, 6, 1),
                new Compartment(Tissue.HAEMORRHAGE, Place.PATCHES, 0.06, 5, 5));
    }

    private static LesionSettings small() {
        return new LesionSettings(
                "L2",
                new Point(-40, -8, 28),
                new Vector(11, 10, 11),
                0,
                Tissue.LEIOMYOMA,
                Map.of(),
                Bumps.NONE,
                Bumps.NONE,
                0.8,
                List.of());
    }

    private static LesionSettings sarcoma() {
        return lesion(
                Tissue.SARCOMA,
                Map.of(3, 0.06, 5, 0.05, 7, 0.03, 10, 0.025, 14, 0.015),
                new Bumps(6, 0.16, 20),
                new Bumps(14, 0.32, 7),
                3.5,
                new Compartment(Tissue.NECROTIC, Place.CENTRAL_CLOUD, 0.28, 7, 1),
                new Compartment(Tissue.HAEMORRHAGE, Place.CLOUD, 0.10, 5, 1));
    }

    private static LesionSettings hardBenign() {
        return lesion(
                Tissue.CELLULAR,
                Map.of(3, 0.04, 6, 0.02),
                new Bumps(5, 0.14, 22),
                Bumps.NONE,
                1.8,
                new Compartment(Tissue.NECROTIC, Place.CENTRAL_CLOUD, 0.2, 7, 1),
                new Compartment(Tissue.CYSTIC, Place.PATCHES, 0.1, 5, 6),
                new Compartment(Tissue.HAEMORRHAGE, Place.CLOUD, 0.07, 6, 1));
    }

    private static LesionSettings hardMalignant() {
        return lesion(
                Tissue.SARCOMA,
                Map.of(3, 0.02, 5, 0.015),
                Bumps.NONE,
                new Bumps(2, 0.12, 8),
                1.2,
                new Compartment(Tissue.NECROTIC, Place.CENTRAL_CLOUD, 0.04, 6, 1));
    }

    private static LesionSettings water() {
        return new LesionSettings(
                "L1",
                new Point(0, 0, 8),
                new Vector(35, 35, 35),
                0,
                Tissue.ICE_WATER,
                Map.of(),
                Bumps.NONE,
                Bumps.NONE,
                0,
                List.of());
    }
}

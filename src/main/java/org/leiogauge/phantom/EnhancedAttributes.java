// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.List;
import org.leiogauge.dicom.DataSet;
import org.leiogauge.dicom.Element;
import org.leiogauge.dicom.MrImages;
import org.leiogauge.dicom.Tag;
import org.leiogauge.dicom.Uid;
import org.leiogauge.dicom.Vr;

/**
 * What an enhanced object says beside what a classic one says. It is said to be derived: a computed image has no
 * receiving and no transmitting coil, which an original one must state.
 *
 * <p>Source: PS3.3 A.36.2, C.7.6.16, C.7.6.17, C.8.13.
 */
final class EnhancedAttributes {
    private static final int PIXEL_PRESENTATION = 0x00089205;
    private static final int ANATOMIC_REGION_SEQUENCE = 0x00082218;
    private static final int FRAME_ANATOMY_SEQUENCE = 0x00209071;
    private static final int FRAME_LATERALITY = 0x00209072;
    private static final int ACQUISITION_CONTEXT_SEQUENCE = 0x00400555;
    private static final int PRESENTATION_LUT_SHAPE = 0x20500020;

    private static final int SAFETY_STANDARD_AGENCY = 0x00189174;
    private static final int OPERATING_MODE_SEQUENCE = 0x00189176;
    private static final int OPERATING_MODE_TYPE = 0x00189177;
    private static final int OPERATING_MODE = 0x00189178;
    private static final int ABSORPTION_RATE_DEFINITION = 0x00189179;
    private static final int ABSORPTION_RATE = 0x00189181;
    private static final int ABSORPTION_RATE_SEQUENCE = 0x00189239;
    private static final int RF_ECHO_TRAIN_LENGTH = 0x00189240;
    private static final int GRADIENT_ECHO_TRAIN_LENGTH = 0x00189241;

    private EnhancedAttributes() {}

    /** All parts in one object. */
    static DataSet with(DataSet template, SeriesSettings series, List<MrImages.Part> parts) {
        List<String> type = template.texts(Tag.IMAGE_TYPE);
        template.put(Tag.IMAGE_TYPE, "DERIVED", "PRIMARY", flavour(series), type.get(3));
        DataSet set = MrImages.enhanced(template, parts);
        description(set, series)
                .put(Tag.CONTENT_DATE, template.texts(Tag.SERIES_DATE).get(0))
                .put(Tag.CONTENT_TIME, template.texts(Tag.SERIES_TIME).get(0))
                .put(Tag.MANUFACTURER_MODEL_NAME, "Computed")
                .put(Tag.DEVICE_SERIAL_NUMBER, "0")
                .put(Tag.SOFTWARE_VERSIONS, "1")
                .put(Tag.BURNED_IN_ANNOTATION, "NO")
                .put(Tag.LOSSY_IMAGE_COMPRESSION, "00")
                .put(Tag.CONTENT_QUALIFICATION, "RESEARCH")
                .put(Element.text(PRESENTATION_LUT_SHAPE, Vr.CS, "IDENTITY"))
                .put(Element.sequence(ACQUISITION_CONTEXT_SEQUENCE, List.of()));
        dimensions(set, parts.get(0));
        // of original images alone
        set.remove(Tag.MR_ACQUISITION_TYPE).put(Element.text(SAFETY_STANDARD_AGENCY, Vr.CS, "IEC"));
        DataSet shared = set.item(Tag.SHARED_FUNCTIONAL_GROUPS_SEQUENCE).orElseThrow();
        description(shared.item(Tag.MR_IMAGE_FRAME_TYPE_SEQUENCE).orElseThrow(), series);
        shared.put(Element.sequence(FRAME_ANATOMY_SEQUENCE, List.of(anatomy())));
        timing(shared.item(Tag.MR_TIMING_AND_RELATED_PARAMETERS_SEQUENCE).orElseThrow(), template, series);
        return set;
    }

    // PS3.3 C.8.13.5.2; nothing was transmitted, so nothing was absorbed
    private static void timing(DataSet timing, DataSet template, SeriesSettings series) {
        template.get(Tag.ECHO_TRAIN_LENGTH).ifPresent(timing::put);
        DataSet absorption = new DataSet()
                .put(Element.text(ABSORPTION_RATE_DEFINITION, Vr.CS, "IEC_WHOLE_BODY"))
                .put(Element.real(ABSORPTION_RATE, Vr.FD, 0));
        DataSet mode = new DataSet()
                .put(Element.text(OPERATING_MODE_TYPE, Vr.CS, "STATIC FIELD"))
                .put(Element.text(OPERATING_MODE, Vr.CS, "IEC_NORMAL"));
        timing.put(Element.whole(RF_ECHO_TRAIN_LENGTH, Vr.US, series.kind() == SeriesSettings.Kind.T2 ? 16 : 1))
                .put(Element.whole(GRADIENT_ECHO_TRAIN_LENGTH, Vr.US, 0))
                .put(Element.sequence(ABSORPTION_RATE_SEQUENCE, List.of(absorption)))
                .put(Element.sequence(OPERATING_MODE_SEQUENCE, List.of(mode)));
    }

    private static DataSet description(DataSet set, SeriesSettings series) {
        return set.put(Element.text(PIXEL_PRESENTATION, Vr.CS, "MONOCHROME"))
                .put(Tag.VOLUMETRIC_PROPERTIES, "VOLUME")
                .put(Tag.VOLUME_BASED_CALCULATION_TECHNIQUE, "NONE")
                .put(Tag.COMPLEX_IMAGE_COMPONENT, "MAGNITUDE")
                .put(Tag.ACQUISITION_CONTRAST, flavour(series));
    }

    private static String flavour(SeriesSettings series) {
        return switch (series.kind()) {
            case T2 -> "T2";
            case DWI -> "DIFFUSION";
            default -> "T1";
        };
    }

    private static DataSet anatomy() {
        DataSet pelvis = new DataSet()
                .put(Tag.CODE_VALUE, "12921003")
                .put(Tag.CODING_SCHEME_DESIGNATOR, "SCT")
                .put(Tag.CODE_MEANING, "Pelvis");
        return new DataSet()
                .put(Element.text(FRAME_LATERALITY, Vr.CS, "U"))
                .put(Element.sequence(ANATOMIC_REGION_SEQUENCE, List.of(pelvis)));
    }

    // The first says which part a frame is of, the second which slice.
    private static void dimensions(DataSet set, MrImages.Part part) {
        String organisation = Uid.of(set.text(Tag.SERIES_INSTANCE_UID).orElseThrow() + " dimensions");
        DataSet first = part.bValue().isPresent()
                ? index(organisation, Tag.DIFFUSION_B_VALUE, Tag.MR_DIFFUSION_SEQUENCE)
                : part.temporalPosition().isPresent()
                        ? index(organisation, Tag.TEMPORAL_POSITION_INDEX, Tag.FRAME_CONTENT_SEQUENCE)
                        : index(organisation, Tag.STACK_ID, Tag.FRAME_CONTENT_SEQUENCE);
        set.put(
                        Tag.DIMENSION_ORGANIZATION_SEQUENCE,
                        List.of(new DataSet().put(Tag.DIMENSION_ORGANIZATION_UID, organisation)))
                .put(
                        Tag.DIMENSION_INDEX_SEQUENCE,
                        List.of(first, index(organisation, Tag.IN_STACK_POSITION_NUMBER, Tag.FRAME_CONTENT_SEQUENCE)));
    }

    private static DataSet index(String organisation, int tag, int group) {
        return new DataSet()
                .put(Tag.DIMENSION_ORGANIZATION_UID, organisation)
                .put(Tag.DIMENSION_INDEX_POINTER, tag & 0xFFFFFFFFL)
                .put(Tag.FUNCTIONAL_GROUP_POINTER, group & 0xFFFFFFFFL);
    }
}

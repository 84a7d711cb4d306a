// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Pattern;

/**
 * The words and codes that may stay in a copy without identity. Closed lists: a word that is not in them may be a name.
 *
 * <p>Source of the codes: defined terms of PS3.3 for MR and CT images, segmentations and structure sets, and image types
 * that makers' files commonly have (from memory); of the words: common practice, no source.
 */
final class SafeWords {
    private static final Set<String> WORDS = set("""
            t1 t1w t2 t2w pd pdw adc dwi diff diffusion trace tracew map ir stir se tse fse ffe gre ge gr flash vibe lava thrive
            haste space blade propeller epi ep ssepi rs spgr tfe ttse frfse dixon mdixon ideal in out opp phase water fat fs fatsat
            fat-sat fsat sat fatsuppressed spir spair chess pre native nativ plain unenhanced precontrast post gd gado km contrast
            enhanced postcontrast dynamic dyn dce early late delayed arterial venous sub mip mpr min mean max
            ax axial tra trans transverse transversal cor coronal sag sagittal obl oblique long short axis plane 2d 3d iso
            pelvis uterus uterine abdomen whole body loc localizer localiser scout survey inv invented demo synthetic phantom
            lesion fibroid myoma leiomyoma leiomyosarcoma mass tumour tumor nodule cyst region roi outline contour rough refined true
            sloppy reader muscle myometrium endometrium urine bladder cervix ovary reference necrosis haemorrhage hemorrhage
            enhancing non-enhancing non cystic restricted haemorrhagic hemorrhagic part rim core background left right anterior
            posterior image series of the and with without low high b
            morphologically abnormal structure tissue organ anatomical no units""");
    // b-values, numbers of lesions and readers: too short to be a patient's number
    private static final Pattern SHORT = Pattern.compile("b\\d{1,4}|[lr]?\\d{1,2}");

    private static final Set<String> CODES = set("""
            original derived primary secondary other localizer adc diffusion dwi tracew trace fa exp nd norm dis2d dis3d filtered fm fil
            m p r i ffe se gr ir ep rm mag magnitude phase real imaginary complex mixed mosaic sub subtraction mip min_ip mpr projection
            axial sagittal coronal fat water in_phase op_phase out_phase opp_phase ip op w f t1 t2 t2_star pd proton_density none unknown
            dynamic volume resampled average m_ffe m_se m_ir p_ffe r_ffe i_ffe velocity perfusion isotropic directional bmatrix b0
            ps snr scic dixon in out opp composed retro addition division multiplication mean max_ip quantity
            sk mtc ss trss sp mp osp per rg cg ppg fc pff pfp fs sfs 2d 3d row col column hfs hfp ffs ffp hfdr hfdl ffdr ffdl
            mr ct seg rtstruct yes no monochrome1 monochrome2 binary fractional probability occupancy automatic semiautomatic manual
            unapproved approved rejected closed_planar closedplanar_xor open_planar open_nonplanar point sampled distorted undefined
            flow_encoded fluid_attenuated perfusion proton_density stir tagging tof mt product research service
            pelvis uterus abdomen body wholebody bladder cervix ovary prostate 00 01 3d_temporal
            organ gtv ctv ptv external avoidance contrast_agent cavity support fixation dose_region control marker bolus
            1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20 l r u a h""");

    private static final Set<String> SCHEMES = Set.of("DCM", "SCT", "SRT", "UCUM", "NCIt", "FMA");
    private static final Pattern CODE_VALUE = Pattern.compile("\\d{1,12}|[A-Z]{1,2}-[0-9A-F]{4,6}|C\\d{4,6}");
    // an annotation in braces may be any text
    private static final Set<String> UNITS = set("""
            1 % mm2/s 10-6.mm2/s 10-3.mm2/s 10*-6.mm2/s 10*-3.mm2/s um2/s um2/ms mm mm2 mm3 s ms /s [hnsf'U] HU""");

    private SafeWords() {}

    /** The words that may stay, in their order, with blanks between. */
    static String of(String text) {
        List<String> kept = new ArrayList<>();
        for (String word : text.split("[^A-Za-z0-9-]+")) if (isWord(word.toLowerCase(Locale.ROOT))) kept.add(word);
        String joined = String.join(" ", kept);
        // LO and SH hold 64 characters and 16; a description that long says nothing more
        return joined.length() > 64 ? joined.substring(0, 64).strip() : joined;
    }

    private static boolean isWord(String word) {
        if (word.isEmpty()) return false;
        return WORDS.contains(word)
                || Arrays.stream(word.split("-", -1))
                        .allMatch(part ->
                                WORDS.contains(part) || SHORT.matcher(part).matches());
    }

    static boolean isCode(String value) {
        return CODES.contains(value.toLowerCase(Locale.ROOT));
    }

    /** Whether a code of a scheme may stay; its meaning is another matter. */
    static boolean isConcept(String scheme, String value) {
        return SCHEMES.contains(scheme)
                && (scheme.equals("UCUM")
                        ? UNITS.contains(value)
                        : CODE_VALUE.matcher(value).matches());
    }

    private static Set<String> set(String words) {
        return new TreeSet<>(List.of(words.strip().split("\\s+")));
    }
}

// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.EnumMap;
import java.util.Map;
import java.util.Optional;

/**
 * What a tissue does to the signal.
 *
 * <p>Contrast agent: concentration C(t) = peakMm · (1 − exp(−(t − arrival) / washIn)) · exp(−washOut · (t − arrival) / 60)
 * for t after the arrival, else 0. Texture: standard deviation, as a share of the mean, of the proton density, the ADC and
 * the concentration.
 *
 * @param t1Ms longitudinal relaxation time at 1.5 T
 * @param t2Ms transverse relaxation time
 * @param t2StarMs effective transverse relaxation time, for gradient echoes
 * @param protonDensity of water; 1 for urine
 * @param adc in 10⁻³ mm²/s
 * @param fatShare share of the signal that fat suppression takes away
 * @param peakMm in mmol/L; 0 does not enhance
 * @param arrivalSeconds after injection
 * @param washInSeconds time constant
 * @param washOutPerMinute rate
 */
public record TissueProperties(
        double t1Ms,
        double t2Ms,
        double t2StarMs,
        double protonDensity,
        double adc,
        double fatShare,
        double peakMm,
        double arrivalSeconds,
        double washInSeconds,
        double washOutPerMinute,
        double signalTexture,
        double adcTexture,
        double enhancementTexture) {

    public TissueProperties {
        Range.check("t1-ms", t1Ms, 1, 10_000);
        Range.check("t2-ms", t2Ms, 0.1, t1Ms);
        Range.check("t2-star-ms", t2StarMs, 0.1, t2Ms);
        Range.check("proton-density", protonDensity, 0, 2);
        Range.check("adc", adc, 0, 10);
        Range.check("fat-share", fatShare, 0, 1);
        Range.check("peak-mm", peakMm, 0, 20);
        Range.check("arrival-seconds", arrivalSeconds, 0, 600);
        Range.check("wash-in-seconds", washInSeconds, 0.1, 1000);
        Range.check("wash-out-per-minute", washOutPerMinute, 0, 10);
        // The field is Gaussian: beyond a third of the mean it would turn negative too often.
        Range.check("signal-texture", signalTexture, 0, 0.3);
        Range.check("adc-texture", adcTexture, 0, 0.3);
        Range.check("enhancement-texture", enhancementTexture, 0, 0.3);
    }

    /** Concentration of the contrast agent, in mmol/L, so many seconds after injection. */
    public double concentration(double seconds) {
        double since = seconds - arrivalSeconds;
        if (since <= 0 || peakMm == 0) return 0;
        return peakMm * -StrictMath.expm1(-since / washInSeconds) * StrictMath.exp(-washOutPerMinute * since / 60);
    }

    /** Single properties in place of the standard ones; the YAML form. */
    public record Change(
            Optional<Double> t1Ms,
            Optional<Double> t2Ms,
            Optional<Double> t2StarMs,
            Optional<Double> protonDensity,
            Optional<Double> adc,
            Optional<Double> fatShare,
            Optional<Double> peakMm,
            Optional<Double> arrivalSeconds,
            Optional<Double> washInSeconds,
            Optional<Double> washOutPerMinute,
            Optional<Double> signalTexture,
            Optional<Double> adcTexture,
            Optional<Double> enhancementTexture) {

        TissueProperties of(TissueProperties p) {
            return new TissueProperties(
                    or(t1Ms, p.t1Ms),
                    or(t2Ms, p.t2Ms),
                    or(t2StarMs, Math.min(p.t2StarMs, or(t2Ms, p.t2Ms))),
                    or(protonDensity, p.protonDensity),
                    or(adc, p.adc),
                    or(fatShare, p.fatShare),
                    or(peakMm, p.peakMm),
                    or(arrivalSeconds, p.arrivalSeconds),
                    or(washInSeconds, p.washInSeconds),
                    or(washOutPerMinute, p.washOutPerMinute),
                    or(signalTexture, p.signalTexture),
                    or(adcTexture, p.adcTexture),
                    or(enhancementTexture, p.enhancementTexture));
        }

        // A reader of YAML gives null for what is absent.
        @SuppressWarnings("OptionalAssignedToNull")
        private static double or(Optional<Double> value, double standard) {
            return value == null ? standard : value.orElse(standard);
        }
    }

    private TissueProperties withContrast(double peak, double arrival, double washIn, double washOut) {
        return new TissueProperties(
                t1Ms,
                t2Ms,
                t2StarMs,
                protonDensity,
                adc,
                fatShare,
                peak,
                arrival,
                washIn,
                washOut,
                signalTexture,
                adcTexture,
                enhancementTexture);
    }

    private TissueProperties withTexture(double signal, double ofAdc, double enhancement) {
        return new TissueProperties(
                t1Ms,
                t2Ms,
                t2StarMs,
                protonDensity,
                adc,
                fatShare,
                peakMm,
                arrivalSeconds,
                washInSeconds,
                washOutPerMinute,
                signal,
                ofAdc,
                enhancement);
    }

    private static TissueProperties plain(double t1, double t2, double t2Star, double density, double adc) {
        return new TissueProperties(t1, t2, t2Star, density, adc, 0, 0, 0, 10, 0, 0, 0, 0);
    }

    private static TissueProperties fatty(double t1, double t2, double density) {
        return new TissueProperties(t1, t2, t2 / 2, density, 0.05, 0.95, 0.05, 20, 30, 0, 0.05, 0, 0);
    }

    /**
     * Every tissue at 1.5 T.
     *
     * <p>Source: myometrium, junctional zone, endometrium, follicle fluid (for cysts): Takatsu 2015 and the uterine T2-map
     * studies beside it; muscle, fat, cervix, marrow: de Bazelaire 2004 and the same T2 maps; ADC: Jafar 2016 (uterus),
     * Yanagisawa 2009 (muscle), Tamai 2008 and Namimoto 2009 (masses), Holz 2000 (ice water, 1.10). Relaxation times of
     * leiomyoma, sarcoma, urine and blood products, T2* and every contrast curve: common practice, no source.
     */
    public static Map<Tissue, TissueProperties> standard() {
        Map<Tissue, TissueProperties> map = new EnumMap<>(Tissue.class);
        map.put(Tissue.AIR, plain(1000, 1, 0.5, 0, 0));
        map.put(Tissue.FAT, fatty(343, 135, 0.85));
        map.put(
                Tissue.MUSCLE,
                plain(898, 45, 28, 0.75, 1.45).withContrast(0.12, 25, 40, 0.02).withTexture(0.03, 0.03, 0.05));
        map.put(Tissue.MARROW, fatty(586, 60, 0.5));
        map.put(Tissue.CORTICAL_BONE, plain(1000, 1, 0.5, 0.1, 0.1));
        map.put(Tissue.BOWEL_WALL, plain(1000, 60, 35, 0.75, 1.3).withContrast(0.4, 22, 25, 0.03));
        map.put(Tissue.BOWEL_CONTENT, plain(1500, 90, 20, 0.6, 1.8));
        map.put(Tissue.URINE, plain(3500, 1200, 400, 1.0, 3.0));
        map.put(
                Tissue.MYOMETRIUM,
                plain(1314, 95, 55, 0.82, 1.6).withContrast(0.45, 22, 35, 0.03).withTexture(0.05, 0.05, 0.08));
        map.put(
                Tissue.JUNCTIONAL_ZONE,
                plain(1168, 55, 35, 0.78, 1.13).withContrast(0.35, 24, 40, 0.02).withTexture(0.04, 0.04, 0.05));
        map.put(
                Tissue.ENDOMETRIUM,
                plain(1453, 160, 90, 0.9, 1.44).withContrast(0.25, 35, 60, 0.01).withTexture(0.04, 0.04, 0.05));
        map.put(
                Tissue.CERVIX,
                plain(1450, 80, 50, 0.8, 1.7).withContrast(0.3, 25, 50, 0.02).withTexture(0.05, 0.05, 0.05));
        map.put(
                Tissue.LEIOMYOMA,
                plain(1050, 48, 30, 0.75, 1.05).withContrast(0.35, 25, 45, 0.02).withTexture(0.06, 0.06, 0.08));
        map.put(
                Tissue.CELLULAR,
                plain(1200, 85, 50, 0.82, 0.95).withContrast(0.65, 20, 18, 0.06).withTexture(0.05, 0.05, 0.06));
        map.put(
                Tissue.SARCOMA,
                plain(1350, 110, 60, 0.85, 0.80)
                        .withContrast(0.75, 18, 14, 0.10)
                        .withTexture(0.14, 0.10, 0.15));
        map.put(
                Tissue.HYALINE,
                plain(950, 36, 22, 0.68, 0.90).withContrast(0.08, 35, 90, 0).withTexture(0.10, 0.08, 0.10));
        map.put(Tissue.CYSTIC, plain(2267, 600, 250, 0.98, 2.6).withTexture(0.02, 0.03, 0));
        map.put(
                Tissue.MYXOID,
                plain(1800, 260, 130, 0.95, 2.1).withContrast(0.25, 40, 150, 0).withTexture(0.08, 0.05, 0.12));
        map.put(Tissue.NECROTIC, plain(1500, 190, 90, 0.88, 1.5).withTexture(0.12, 0.10, 0));
        map.put(Tissue.HAEMORRHAGE, plain(420, 75, 40, 0.85, 0.9).withTexture(0.08, 0.08, 0));
        map.put(Tissue.ICE_WATER, plain(1800, 1000, 400, 1.0, 1.10));
        return map;
    }
}

// SPDX-License-Identifier: Apache-2.0
package org.leiogauge;

import static org.assertj.core.api.Assertions.assertThat;

import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

/** Holds the packages to the arrows of DEVELOPERS.md: each may use what its row names, and nothing further down. */
class ArrowTest {
    private static final String ROOT = "org.leiogauge.";
    private static final String BASE = "task image table";
    private static final String ALL_TO_STABILITY =
            BASE + " dicom nifti study outline align signal feature lesion stability";

    private static final Map<String, Set<String>> MAY_USE = new TreeMap<>();

    static {
        row("task", "");
        row("image", "task");
        row("table", "task");
        row("dicom", BASE);
        row("nifti", BASE);
        row("phantom", BASE + " dicom nifti");
        row("study", BASE + " dicom nifti");
        row("outline", BASE);
        row("align", BASE);
        row("signal", BASE + " outline");
        row("feature", BASE);
        row("lesion", BASE + " study outline align signal feature");
        row("stability", BASE + " outline align feature lesion");
        row("appraise", BASE + " study");
        row("report", ALL_TO_STABILITY + " appraise");
        row("measure", ALL_TO_STABILITY + " appraise report");
        row("cohort", BASE + " measure report");
        row("spark", BASE + " measure cohort");
        String front = ALL_TO_STABILITY + " phantom appraise report measure cohort";
        row("plugin", front);
        row("desk", front);
        row("cli", front);
    }

    private static final JavaClasses CLASSES = new ClassFileImporter()
            .withImportOption(ImportOption.Predefined.DO_NOT_INCLUDE_TESTS)
            .importPackages("org.leiogauge");

    @Test
    void packagesUseOnlyWhatTheirRowNames() {
        List<String> wrong = CLASSES.stream()
                .flatMap(from -> from.getDirectDependenciesFromSelf().stream())
                .filter(d -> isOurs(d.getTargetClass()))
                .filter(d -> !packageOf(d.getOriginClass()).equals(packageOf(d.getTargetClass())))
                .filter(d -> !MAY_USE.getOrDefault(packageOf(d.getOriginClass()), Set.of())
                        .contains(packageOf(d.getTargetClass())))
                .map(Object::toString)
                .sorted()
                .toList();
        assertThat(wrong).isEmpty();
    }

    @Test
    void everyPackageHasARow() {
        Set<String> packages =
                CLASSES.stream().map(ArrowTest::packageOf).collect(Collectors.toCollection(TreeSet::new));
        assertThat(MAY_USE.keySet()).containsAll(packages);
    }

    @Test
    void swingStaysInTheDeskAndTheHostInThePlugin() {
        assertThat(users("javax.swing.")).isSubsetOf("desk");
        assertThat(users("ij.")).isSubsetOf("plugin");
        assertThat(users("org.scijava.")).isSubsetOf("plugin", "desk");
    }

    @Test
    void computingPackagesOpenNoFile() {
        assertThat(users("java.nio.file.", "java.io.File"))
                .doesNotContain("image", "outline", "align", "signal", "feature", "lesion", "stability");
    }

    private static Set<String> users(String... prefixes) {
        return CLASSES.stream()
                .filter(c -> c.getDirectDependenciesFromSelf().stream().anyMatch(d -> Arrays.stream(prefixes)
                        .anyMatch(d.getTargetClass().getName()::startsWith)))
                .map(ArrowTest::packageOf)
                .collect(Collectors.toCollection(TreeSet::new));
    }

    private static void row(String name, String uses) {
        MAY_USE.put(name, Set.of(uses.isEmpty() ? new String[0] : uses.split(" ")));
    }

    private static boolean isOurs(JavaClass target) {
        return target.getName().startsWith(ROOT);
    }

    // The first name below ours: a package and what it is divided into count as one.
    private static String packageOf(JavaClass type) {
        return type.getPackageName().substring(ROOT.length()).split("\\.")[0];
    }
}

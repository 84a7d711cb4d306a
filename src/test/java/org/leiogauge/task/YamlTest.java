// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;

class YamlTest {
    enum Colour {
        DARK_RED,
        BLUE
    }

    record Part(int bins, Optional<Double> width) {
        Part {
            if (bins < 1) throw new IllegalArgumentException("bins must be 1 or more, got " + bins);
        }
    }

    record Whole(String caseName, Colour colour, List<Part> parts) {}

    @Test
    void aRecordComesBackAsItWas() throws InputException {
        Whole whole =
                new Whole("a", Colour.DARK_RED, List.of(new Part(3, Optional.empty()), new Part(4, Optional.of(2.5))));
        String text = Yaml.PLAIN.text(whole);
        assertThat(text).contains("case-name: a").contains("colour: dark-red");
        assertThat(Yaml.PLAIN.parse(text, "f", Whole.class)).isEqualTo(whole);
    }

    @Test
    void anUnknownKeyIsNamedWithItsLine() {
        assertThatThrownBy(() -> Yaml.PLAIN.parse("bins: 3\nbinz: 4\n", "f.yaml", Part.class))
                .isInstanceOf(InputException.class)
                .hasMessage("f.yaml: line 2, key binz: found the unknown key 'binz', expected one of bins, width");
    }

    @Test
    void aRecordsOwnCheckIsTheMessage() {
        assertThatThrownBy(() -> Yaml.PLAIN.parse("bins: 0", "f.yaml", Part.class))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("bins must be 1 or more, got 0");
    }

    @Test
    void aFractionIsNoWholeNumber() {
        assertThatThrownBy(() -> Yaml.PLAIN.parse("width: 1\nbins: 2.5\n", "f.yaml", Part.class))
                .isInstanceOf(InputException.class)
                .hasMessageStartingWith("f.yaml: line 2, key bins: ");
    }

    @Test
    void tagsDuplicatesBombsAndDepthAreRefused() {
        String bomb = "a: &a [x,x]\nb: &b [*a,*a]\nc: &c [*b,*b]\nd: [*c,*c,*c,*c,*c,*c,*c,*c,*c,*c,*c,*c,*c,*c]\n";
        for (String text : List.of(
                "bins: 1\nbins: 2\n",
                "bins: !!javax.script.ScriptEngineManager [x]",
                bomb,
                "bins: " + "[".repeat(500),
                "bins: 3\n---\nbins: 4\n",
                "",
                "\u0000"))
            assertThatThrownBy(() -> Yaml.PLAIN.parse(text, "f.yaml", Part.class))
                    .as(text)
                    .isInstanceOf(InputException.class)
                    .hasMessageStartingWith("f.yaml");
    }

    @Test
    void singleValuesAreOverridden() throws InputException {
        Part part = new Part(3, Optional.empty());
        assertThat(Yaml.PLAIN.override(part, List.of("bins=8", "width=2.5"), Part.class))
                .isEqualTo(new Part(8, Optional.of(2.5)));
        assertThatThrownBy(() -> Yaml.PLAIN.override(part, List.of("bin=8"), Part.class))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("unknown key 'bin'");
        assertThatThrownBy(() -> Yaml.PLAIN.override(part, List.of("bins"), Part.class))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("expected key=value");
    }
}

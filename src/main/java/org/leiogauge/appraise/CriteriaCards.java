// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.leiogauge.table.Definition;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Shipped;
import org.leiogauge.task.Yaml;

/** The criteria cards that come with the program, and a folder of further ones. */
public final class CriteriaCards {
    /** The files of the shipped cards, in the order in which they are shown. */
    static final List<String> SHIPPED = List.of(
            "diffusion-t2-adc",
            "diffusion-adc-1100",
            "diffusion-flow-2020",
            "consensus-flow-2022",
            "four-signs-2017",
            "central-non-enhancement-2016",
            "diffusion-adc-1080-2016",
            "diffusion-by-eye-2016",
            "t2-contrast-adc-2009",
            "diffusion-class-adc-2014",
            "t1-bright-area-2018",
            "early-enhancement-2002",
            "adc-820-bright-2019",
            "adc-839-cellular");

    private static final int MOST = 1000;

    private CriteriaCards() {}

    /**
     * The shipped cards.
     *
     * @param known the features that are measured, as the dictionary lists them
     */
    public static List<CriteriaCard> shipped(List<Definition> known) {
        List<CriteriaCard> cards = new ArrayList<>();
        for (String name : SHIPPED) {
            String file = "criteria/" + name + ".yaml";
            cards.add(Shipped.read(file, text -> CardFile.read(text, file, known)));
        }
        return List.copyOf(cards);
    }

    /**
     * The shipped cards and those of a folder, one YAML file each, by file name.
     *
     * @throws InputException if the folder holds no card, a card is not usable, or an id is taken already
     */
    public static List<CriteriaCard> with(Path folder, List<Definition> known) throws InputException {
        Map<String, Object> taken = new LinkedHashMap<>();
        List<CriteriaCard> cards = new ArrayList<>(shipped(known));
        cards.forEach(card -> taken.put(card.id(), "a shipped card"));
        for (Path file : files(folder)) {
            CriteriaCard card = CardFile.read(Yaml.content(file), file, known);
            Object other = taken.putIfAbsent(card.id(), file.getFileName());
            if (other != null)
                throw new InputException(file, "key id", card.id() + ", as " + other + " has it", "an id of its own");
            cards.add(card);
        }
        return List.copyOf(cards);
    }

    private static List<Path> files(Path folder) throws InputException {
        if (!Files.isDirectory(folder))
            throw new InputException(
                    folder, "", Files.exists(folder) ? "a file" : "no such folder", "a folder of criteria cards");
        try (Stream<Path> all = Files.list(folder)) {
            List<Path> files = all.filter(file -> file.getFileName().toString().matches(".*\\.ya?ml"))
                    .sorted()
                    .limit(MOST + 1)
                    .toList();
            if (files.isEmpty() || files.size() > MOST)
                throw new InputException(
                        folder,
                        "",
                        files.isEmpty() ? "no file *.yaml" : "more than " + MOST + " files",
                        "criteria cards, one YAML file each");
            return files;
        } catch (IOException e) {
            throw new InputException(folder, "", "a folder that cannot be read", "a folder of criteria cards");
        }
    }
}

// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import static org.assertj.core.api.Assertions.assertThat;

import ij.IJ;
import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/** A Java of its own that knows only what a foreign program would: the host's jar or SciJava's, ours as it is built, the test's own class. */
final class ForeignJava {
    /** As built by {@code mvn package}. */
    static final Path JAR = Path.of("target/leiogauge-plugin.jar");

    private final Path folder;

    /** @param folder for what it needs */
    ForeignJava(Path folder) {
        this.folder = folder;
    }

    static boolean hasScreen() {
        return Stream.of("Xvfb", "xvfb-run", "xauth").allMatch(ForeignJava::isInstalled);
    }

    /** Starts the classic host with our jar dropped into it and lets a walk go through it; keeps its pictures to be looked at. */
    void walk(String walk, Path given, Path seen) throws Exception {
        Path plugins = Files.createDirectories(folder.resolve("host/plugins"));
        Files.copy(JAR, plugins.resolve("Leiogauge_.jar"));
        List<String> command = new ArrayList<>(List.of("xvfb-run", "-a", "-s", "-screen 0 1280x800x24"));
        command.addAll(java(
                List.of(jarOf(IJ.class), alone(walk, "Walk")),
                "-Dplugins.dir=" + plugins.getParent(),
                "-Duser.home=" + Files.createDirectory(folder.resolve("home")),
                "-Xmx2g",
                "org.leiogauge.plugin.host." + walk,
                Path.of("macros").toAbsolutePath(),
                given,
                seen));
        try {
            run(command);
        } finally {
            keepPictures(seen);
        }
    }

    private static void keepPictures(Path seen) throws IOException {
        Path pictures = Files.createDirectories(Path.of("target/host-pictures"));
        try (Stream<Path> all = Files.list(seen)) {
            for (Path file : all.filter(one -> one.toString().endsWith(".png")).toList())
                Files.copy(file, pictures.resolve(file.getFileName()), StandardCopyOption.REPLACE_EXISTING);
        }
    }

    // Some classes of ours and what is nested in them, with nothing beside.
    Path alone(String... names) throws IOException {
        Path classes = Path.of(location(ForeignJava.class)).resolve("org/leiogauge/plugin/host");
        Path root = Files.createDirectory(folder.resolve("alone-" + names[0]));
        Path target = Files.createDirectories(root.resolve("org/leiogauge/plugin/host"));
        try (Stream<Path> all = Files.list(classes)) {
            for (Path file : all.filter(one ->
                            one.getFileName().toString().matches("(" + String.join("|", names) + ")(\\$.*)?\\.class"))
                    .toList()) Files.copy(file, target.resolve(file.getFileName()));
        }
        return root;
    }

    static Path jarOf(Class<?> type) {
        return Path.of(location(type));
    }

    private static String location(Class<?> type) {
        try {
            return Path.of(type.getProtectionDomain()
                            .getCodeSource()
                            .getLocation()
                            .toURI())
                    .toString();
        } catch (java.net.URISyntaxException e) {
            throw new IllegalStateException(e);
        }
    }

    static List<String> java(List<Path> classPath, Object... arguments) {
        List<String> command = new ArrayList<>(
                List.of(Path.of(System.getProperty("java.home"), "bin/java").toString(), "-cp"));
        command.add(classPath.stream().map(Path::toString).collect(Collectors.joining(File.pathSeparator)));
        for (Object argument : arguments) command.add(argument.toString());
        return command;
    }

    // A dialog that nobody expects would wait for ever.
    void run(List<String> command) throws IOException, InterruptedException {
        Path said = Files.createTempFile(folder, "said", ".txt");
        Process process = new ProcessBuilder(command)
                .redirectErrorStream(true)
                .redirectOutput(said.toFile())
                .start();
        boolean ended = process.waitFor(10, TimeUnit.MINUTES);
        if (!ended) process.descendants().forEach(ProcessHandle::destroy);
        process.destroy();
        assertThat(ended && process.exitValue() == 0).as(Files.readString(said)).isTrue();
    }

    private static boolean isInstalled(String tool) {
        return Arrays.stream(System.getenv("PATH").split(":")).anyMatch(d -> Files.isExecutable(Path.of(d, tool)));
    }
}

// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import org.leiogauge.study.Role;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.ItemVisibility;
import org.scijava.app.StatusService;
import org.scijava.command.ContextCommand;
import org.scijava.log.LogService;
import org.scijava.plugin.Parameter;
import org.scijava.task.Task;
import org.scijava.task.TaskService;

/**
 * What all our commands share: a task that shows how far the work is and can be stopped, and a calm end on input that cannot
 * be used: the command is then cancelled, with the message as its reason, and has no outputs.
 */
public abstract class Job extends ContextCommand {
    /** Attribute of an input for which a host may offer what is drawn on its active image; its value says which of it. */
    public static final String DRAWN = "drawn";

    /** The drawn areas, as a file that holds them as a region. */
    public static final String DRAWN_REGION = "region";

    /** The drawn areas, in the words of {@link DrawOutline}. */
    public static final String DRAWN_AREAS = "areas";

    /** The selected point, in patient space (LPS, mm). */
    public static final String DRAWN_POINT = "point";

    /** Areas that bear tissues' names, in the words of {@link PlaceReferences}. */
    public static final String DRAWN_PLACES = "places";

    private static final int STEPS = 1000;
    private static final String STANDING = "For research. Not a diagnosis.";

    // Besides what it says: a host asks for a file that may be left out when nothing else is left to be asked for.
    @Parameter(visibility = ItemVisibility.MESSAGE, persist = false, required = false, label = "Note")
    private String note = STANDING;

    @Parameter
    private StatusService status;

    @Parameter
    private TaskService tasks;

    @Parameter
    private LogService log;

    private final String doing;

    /** @param doing what is being done, as {@code measuring} */
    Job(String doing) {
        this.doing = doing;
    }

    /** The work; leaves its results in the output fields. */
    abstract void work(Workers workers, Progress progress) throws InputException, IOException;

    @Override
    public final void run() {
        Task task = tasks.createTask(doing);
        task.setProgressMaximum(STEPS);
        task.start();
        try (Workers workers = Workers.of(Runtime.getRuntime().availableProcessors())) {
            work(workers, fraction -> show(task, fraction));
        } catch (InputException e) {
            cancel(e.getMessage());
        } catch (IOException e) {
            cancel(e);
        } catch (UncheckedIOException e) {
            cancel(e.getCause());
        } catch (CancellationException e) {
            if (!isCanceled()) cancel("stopped; nothing was written");
        } finally {
            task.finish();
            status.clearStatus();
        }
    }

    /** What would come of it. */
    @FunctionalInterface
    interface Foresight {
        /** In words; may leave results in the output fields. */
        String of(Workers workers) throws InputException;
    }

    /** Says beside the dialog's fields what would come of them, or what is missing. */
    final void foresee(Foresight foresight) {
        try (Workers workers = Workers.of(1)) {
            note = foresight.of(workers);
        } catch (InputException e) {
            note = e.getMessage();
        }
    }

    /** As if nothing had been foreseen. */
    public void cancel() {
        note = STANDING;
    }

    private void cancel(IOException e) {
        cancel("cannot read or write: " + e.getMessage());
    }

    private void show(Task task, double fraction) {
        if (isCanceled() || task.isCanceled()) throw new CancellationException();
        int done = (int) Math.round(STEPS * fraction);
        task.setProgressValue(done);
        status.showStatus(done, STEPS, doing);
    }

    /** Something to be told that does not stop the work. */
    void warn(Optional<String> warning) {
        warning.ifPresent(log::warn);
    }

    /** The role that goes by a name. */
    static Role role(String name) throws InputException {
        for (Role role : Role.values()) if (role.key().equals(name)) return role;
        throw new InputException("Series", "", name, "a role, as t2 or dwi");
    }

    /** An input that may be left out. */
    static Optional<Path> path(File chosen) {
        return Optional.ofNullable(chosen).map(File::toPath);
    }

    /** An input that may be left out or blank. */
    static Optional<String> text(String given) {
        return Optional.ofNullable(given).filter(text -> !text.isBlank());
    }
}

// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.IJ;
import java.io.IOException;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.AbstractContextual;
import org.scijava.Context;
import org.scijava.app.StatusService;
import org.scijava.app.event.StatusEvent;
import org.scijava.command.CommandModule;
import org.scijava.command.CommandService;
import org.scijava.event.EventHandler;
import org.scijava.log.LogLevel;
import org.scijava.log.LogService;
import org.scijava.module.ModuleService;
import org.scijava.task.TaskService;

/**
 * Any SciJava command of ours as an entry of the classic host: its inputs are asked for by the host's dialog, so that a macro
 * records and gives them, and its outputs are shown as the host's tables, images and overlays.
 */
public final class StepEntry extends Entry {
    private static final String PACKAGE = "org.leiogauge.plugin.";
    private static final long LOOK_EVERY_MS = 50;

    // One for all: it takes a moment to begin.
    private static Context context;

    private static synchronized Context context() {
        if (context == null) {
            context = new Context(
                    CommandService.class,
                    ModuleService.class,
                    TaskService.class,
                    StatusService.class,
                    LogService.class);
            context.service(LogService.class).addLogListener(message -> {
                if (message.level() <= LogLevel.WARN) IJ.log("Leiogauge: " + message.text());
            });
        }
        return context;
    }

    @Override
    void work(String command, Workers workers, Progress progress) throws InputException, IOException {
        Drawn drawn = Drawn.onActiveImage();
        Optional<StepDialog.Answer> answer = StepDialog.ask(module(command), drawn);
        if (answer.isEmpty()) return;
        CommandModule module = module(command);
        ProgressBar bar = new ProgressBar();
        context().inject(bar);
        try {
            run(module, answer.get());
        } finally {
            answer.get().close();
        }
        if (IJ.escapePressed()) throw new CancellationException();
        if (module.isCanceled()) tell(module.getCancelReason());
        else StepResults.show(module, drawn);
    }

    private static CommandModule module(String command) {
        return (CommandModule) context()
                .service(ModuleService.class)
                .createModule(context().service(CommandService.class).getCommand(PACKAGE + command));
    }

    private static void run(CommandModule module, StepDialog.Answer answer) {
        Future<CommandModule> running = context().service(ModuleService.class).run(module, true, answer.inputs());
        while (true)
            try {
                running.get(LOOK_EVERY_MS, TimeUnit.MILLISECONDS);
                return;
            } catch (TimeoutException e) {
                if (IJ.escapePressed() && !module.isCanceled()) module.cancel("stopped; nothing was written");
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
                module.cancel("stopped; nothing was written");
                throw new CancellationException();
            } catch (ExecutionException e) {
                throw new IllegalStateException(e.getCause());
            }
    }

    /** What the context says of how far the work is, on the host's bar. */
    private static final class ProgressBar extends AbstractContextual {
        @EventHandler
        void moved(StatusEvent event) {
            if (event.getProgressMaximum() > 0) IJ.showProgress(event.getProgressValue(), event.getProgressMaximum());
        }
    }
}

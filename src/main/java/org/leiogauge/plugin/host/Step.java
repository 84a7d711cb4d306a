// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.plugin.PlugIn;
import java.io.IOException;
import java.net.MalformedURLException;
import java.net.URL;
import java.net.URLClassLoader;
import java.util.Enumeration;

/**
 * The menu's way to {@link StepEntry}, which needs SciJava's classes. The classic host has none: then they come from a folder of
 * our jar, seen by our classes alone, so that no other plug-in meets them.
 */
public final class Step implements PlugIn {
    private static final String FOLDER = "scijava/";
    private static ClassLoader loader;

    @Override
    public void run(String command) {
        try {
            Class<?> entry = loader().loadClass("org.leiogauge.plugin.host.StepEntry");
            ((PlugIn) entry.getConstructor().newInstance()).run(command);
        } catch (ReflectiveOperationException | IOException e) {
            throw new IllegalStateException("the jar is not whole", e);
        }
    }

    // Kept, for a context lives in it.
    private static synchronized ClassLoader loader() throws MalformedURLException {
        if (loader == null) loader = hasSciJava() ? Step.class.getClassLoader() : new OwnSciJava();
        return loader;
    }

    private static boolean hasSciJava() {
        return Step.class.getClassLoader().getResource("org/scijava/Context.class") != null;
    }

    /** Our classes again, with SciJava's beside them; all else is the host's. */
    private static final class OwnSciJava extends URLClassLoader {
        OwnSciJava() throws MalformedURLException {
            super(urls(), Step.class.getClassLoader());
        }

        private static URL[] urls() throws MalformedURLException {
            URL jar = Step.class.getProtectionDomain().getCodeSource().getLocation();
            return new URL[] {jar, new URL("jar:" + jar + "!/" + FOLDER)};
        }

        @Override
        protected Class<?> loadClass(String name, boolean resolve) throws ClassNotFoundException {
            if (!name.startsWith("org.leiogauge.") && !name.startsWith("org.scijava."))
                return super.loadClass(name, resolve);
            synchronized (getClassLoadingLock(name)) {
                Class<?> found = findLoadedClass(name);
                if (found == null) found = findClass(name);
                if (resolve) resolveClass(found);
                return found;
            }
        }

        @Override
        public URL getResource(String name) {
            URL own = findResource(name);
            return own == null ? super.getResource(name) : own;
        }

        // the parent holds our jar too: what is found there once more would be listed twice
        @Override
        public Enumeration<URL> getResources(String name) throws IOException {
            Enumeration<URL> own = findResources(name);
            return own.hasMoreElements() ? own : super.getResources(name);
        }
    }
}

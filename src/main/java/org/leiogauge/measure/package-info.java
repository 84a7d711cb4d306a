/**
 * One case from study to output folder: the recipe that every front end calls.
 *
 * <p>Main types: {@link org.leiogauge.measure.CaseMeasurement}, {@link org.leiogauge.measure.SettingsFile}. It writes a
 * folder whole or not at all.
 */
package org.leiogauge.measure;

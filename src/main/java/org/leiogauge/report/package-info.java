/**
 * What a reader is handed: the report as HTML, its pictures, and the DICOM objects that go back beside the images.
 *
 * <p>Main types: {@link org.leiogauge.report.HtmlReport}, {@link org.leiogauge.report.ReportContent}. A report needs no
 * network and no script, holds no clock and no machine's name: the same content gives the same bytes. Text that came from
 * a file is escaped, always.
 */
package org.leiogauge.report;

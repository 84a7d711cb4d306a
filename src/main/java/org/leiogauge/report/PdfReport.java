// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import com.openhtmltopdf.extend.FSStream;
import com.openhtmltopdf.outputdevice.helper.BaseRendererBuilder.FontStyle;
import com.openhtmltopdf.pdfboxout.PdfBoxRenderer;
import com.openhtmltopdf.pdfboxout.PdfRendererBuilder;
import com.openhtmltopdf.util.XRLog;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.Reader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Calendar;
import java.util.GregorianCalendar;
import java.util.Locale;
import java.util.Map;
import java.util.TimeZone;
import java.util.function.Function;
import java.util.stream.Collectors;
import javax.xml.XMLConstants;
import javax.xml.parsers.DocumentBuilder;
import javax.xml.parsers.DocumentBuilderFactory;
import javax.xml.parsers.ParserConfigurationException;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.leiogauge.task.WholeFile;
import org.w3c.dom.Document;
import org.xml.sax.SAXException;

/**
 * The report as PDF, from the same page as the HTML one, without the standard's long lists. It opens no file and no address:
 * pictures and fonts lie inside. The same content gives the same bytes: it states no time of its making.
 */
public final class PdfReport {
    static {
        XRLog.setLoggingEnabled(false);
    }

    private PdfReport() {}

    public static void write(Path file, ReportContent content) throws IOException {
        byte[] bytes = bytes(content);
        WholeFile.write(file, out -> out.write(bytes));
    }

    public static byte[] bytes(ReportContent content) {
        String page = HtmlReport.ENGINE.process("report", HtmlReport.context(content, true));
        Map<String, Figure> pictures = content.pictures().stream()
                .collect(Collectors.toMap(Figure::paperUri, Function.identity(), (first, second) -> first));
        PdfRendererBuilder builder = new PdfRendererBuilder()
                .useFont(ReportFont::regularFile, ReportFont.FAMILY, 400, FontStyle.NORMAL, true)
                .useFont(ReportFont::boldFile, ReportFont.FAMILY, 700, FontStyle.NORMAL, true)
                .useUriResolver((base, uri) -> pictures.containsKey(uri) ? uri : null)
                .useProtocolsStreamImplementation(uri -> new Picture(pictures.get(uri)), Figure.PAPER)
                .withProducer("Leiogauge")
                .withW3cDocument(parsed(page), null);
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try (PdfBoxRenderer renderer = builder.buildPdfRenderer()) {
            renderer.createPDFWithoutClosing();
            try (PDDocument document = renderer.getPdfDocument()) {
                withoutClock(document);
                document.save(out);
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return out.toByteArray();
    }

    /** A picture as the PDF writer asks for it. */
    private record Picture(Figure figure) implements FSStream {
        @Override
        public InputStream getStream() {
            return new ByteArrayInputStream(figure.png());
        }

        @Override
        public Reader getReader() {
            throw new UnsupportedOperationException("a picture is no text");
        }
    }

    // What would tell one run from another: the time, and the number that is made from it.
    private static void withoutClock(PDDocument document) {
        Calendar none = new GregorianCalendar(TimeZone.getTimeZone("UTC"), Locale.ROOT);
        none.setTimeInMillis(0);
        document.getDocumentInformation().setCreationDate(none);
        document.getDocumentInformation().setModificationDate(none);
        document.setDocumentId(1L);
    }

    private static Document parsed(String page) {
        try {
            DocumentBuilderFactory factory = DocumentBuilderFactory.newInstance();
            factory.setFeature(XMLConstants.FEATURE_SECURE_PROCESSING, true);
            DocumentBuilder parser = factory.newDocumentBuilder();
            parser.setErrorHandler(null);
            return parser.parse(new ByteArrayInputStream(page.getBytes(StandardCharsets.UTF_8)));
        } catch (ParserConfigurationException | SAXException | IOException e) {
            throw new IllegalStateException("the report's page is not well-formed", e);
        }
    }
}

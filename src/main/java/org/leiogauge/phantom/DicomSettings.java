// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import org.leiogauge.dicom.TransferSyntax;

/** How the study is written as DICOM. */
public record DicomSettings(Form form, Compression compression) {
    /** One object per slice, or one per series. */
    public enum Form {
        CLASSIC,
        ENHANCED
    }

    /** Of the pixel data, without loss. */
    public enum Compression {
        NONE(TransferSyntax.EXPLICIT_LITTLE_ENDIAN),
        /** Run lengths. */
        RLE(TransferSyntax.RLE);

        private final TransferSyntax syntax;

        Compression(TransferSyntax syntax) {
            this.syntax = syntax;
        }

        TransferSyntax syntax() {
            return syntax;
        }
    }

    public DicomSettings {
        form = form == null ? Form.CLASSIC : form;
        compression = compression == null ? Compression.NONE : compression;
    }

    /** One object per slice, not compressed. */
    public static DicomSettings standard() {
        return new DicomSettings(Form.CLASSIC, Compression.NONE);
    }
}

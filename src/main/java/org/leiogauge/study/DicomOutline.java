// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.nio.file.Path;
import java.util.Optional;
import org.leiogauge.task.*;

final class DicomOutline {
    static Outline read(Path p, Optional<String> roi, Study s, Workers w, Progress q) throws InputException {
        throw new InputException(p, "", "x", "y");
    }
}

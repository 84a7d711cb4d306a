// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.nio.file.Path;
import org.leiogauge.task.*;

final class DicomStudy {
    static Study open(Path p, Workers w, Progress q) throws InputException {
        throw new InputException(p, "", "x", "y");
    }
}

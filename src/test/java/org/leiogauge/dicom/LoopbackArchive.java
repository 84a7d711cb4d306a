// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** Debian's orthanc as a child process on this machine's own address, with an empty store; skipped, visibly, where missing. */
public final class LoopbackArchive implements AutoCloseable {
    private static final List<String> PLACES = List.of("/usr/sbin/Orthanc", "/usr/bin/Orthanc");
    private static final int TRIES = 300;

    private final Process process;
    private final int dicomPort;
    private final int httpPort;

    private LoopbackArchive(Process process, int dicomPort, int httpPort) {
        this.process = process;
        this.dicomPort = dicomPort;
        this.httpPort = httpPort;
    }

    /** @param folder empty, for its store and configuration */
    public static LoopbackArchive start(Path folder) throws IOException, InterruptedException {
        String program = PLACES.stream()
                .filter(place -> Files.isExecutable(Path.of(place)))
                .findFirst()
                .orElse("");
        OutsideTool.assume(!program.isEmpty(), "not installed: orthanc");
        int[] ports = freePorts();
        Path settings = folder.resolve("orthanc.json");
        Files.writeString(settings, """
                {"Name": "test", "StorageDirectory": "%s", "IndexDirectory": "%s", "Plugins": [],
                 "DicomPort": %d, "HttpPort": %d, "DicomAet": "ARCHIVE", "RemoteAccessAllowed": false,
                 "AuthenticationEnabled": false, "DicomAlwaysAllowStore": true, "DicomCheckCalledAet": false}
                """.formatted(folder, folder, ports[0], ports[1]));
        Process process = new ProcessBuilder(program, settings.toString())
                .redirectErrorStream(true)
                .redirectOutput(folder.resolve("orthanc.log").toFile())
                .start();
        LoopbackArchive archive = new LoopbackArchive(process, ports[0], ports[1]);
        try {
            archive.await(ports[0]);
            archive.await(ports[1]);
        } catch (IOException | InterruptedException | RuntimeException e) {
            archive.close();
            throw e;
        }
        return archive;
    }

    private static int[] freePorts() throws IOException {
        InetAddress loopback = InetAddress.getLoopbackAddress();
        try (ServerSocket one = new ServerSocket(0, 1, loopback);
                ServerSocket other = new ServerSocket(0, 1, loopback)) {
            return new int[] {one.getLocalPort(), other.getLocalPort()};
        }
    }

    private void await(int port) throws IOException, InterruptedException {
        for (int i = 0; i < TRIES; i++) {
            if (!process.isAlive()) throw new IOException("orthanc ended with " + process.exitValue());
            try (Socket socket = new Socket()) {
                socket.connect(new InetSocketAddress(InetAddress.getLoopbackAddress(), port), 1000);
                return;
            } catch (IOException e) {
                Thread.sleep(100);
            }
        }
        throw new IOException("orthanc does not answer");
    }

    /** Sends the files; each must be taken. */
    public void store(List<Path> files) throws IOException, InterruptedException {
        List<String> command =
                new ArrayList<>(List.of("storescu", "-R", "-aec", "ARCHIVE", "127.0.0.1", String.valueOf(dicomPort)));
        files.forEach(file -> command.add(file.toString()));
        OutsideTool.run(command.toArray(String[]::new));
    }

    /** What differs between a file's data set and the one that the archive gives back, but for the file's own header. */
    public List<String> differences(Path file) throws IOException, InterruptedException {
        return OutsideTool.python("""
                import sys, io, json, urllib.request, pydicom
                path, root = sys.argv[1:3]
                get = lambda where: urllib.request.urlopen(root + where).read()
                sent = pydicom.dcmread(path)
                found = [i for i in json.loads(get('/instances'))
                         if json.loads(get('/instances/' + i + '/simplified-tags'))['SOPInstanceUID'] == sent.SOPInstanceUID]
                if len(found) != 1: print(len(found), 'objects of this UID')
                for i in found:
                    back = pydicom.dcmread(io.BytesIO(get('/instances/' + i + '/file')))
                    def raw(d):
                        out = pydicom.filebase.DicomBytesIO()
                        out.is_little_endian, out.is_implicit_VR = True, False
                        pydicom.filewriter.write_dataset(out, d)
                        return out.getvalue()
                    for tag in sorted(set(sent.keys()) | set(back.keys())):
                        if tag not in sent or tag not in back or sent[tag] != back[tag]: print('differs:', tag)
                    if raw(sent) != raw(back): print('bytes differ')
                """, file, "http://127.0.0.1:" + httpPort);
    }

    @Override
    public void close() {
        process.destroy();
        process.onExit().join();
    }
}

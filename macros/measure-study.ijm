// Measures one lesion of a study. The macro's argument: folder of the study, file of the outline, name of the region in it
// and folder for the results, with commas between.
paths = split(getArgument(), ",");
run("Measure a Study...", "study=[" + paths[0] + "] outline=[" + paths[1] + "] region=[" + paths[2] + "] results=[" + paths[3] + "]");

// ADC map of the active stack; the b-values of its images, in s/mm2, are the macro's argument, as 0,800.
run("ADC Map of Stack...", "b-values=[" + getArgument() + "] fit=[weighted log-linear] lowest=0 noise=0");

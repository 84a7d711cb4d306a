// Size, shape and signal of the region drawn on the active image. Its unit of length must be mm.
run("Measure Drawn Region...", "families=[shape and signal] bins=32 slices=[the one shown]");

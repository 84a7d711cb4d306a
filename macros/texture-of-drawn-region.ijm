// Texture of the region drawn on the active image, with 32 grey levels.
run("Texture of Drawn Region...", "families=texture bins=32 slices=[the one shown]");

"""Whether a part fits: limits and fits, presses, meshes, holders, contacts; rules and checks over HTTP."""

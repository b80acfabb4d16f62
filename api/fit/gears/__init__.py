"""Drive clutch and ring gear: which pinion it is, how it meshes, spline, length and travel."""

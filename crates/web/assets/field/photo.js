// Geometry

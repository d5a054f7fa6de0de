//! How heavy materials are, so that a hive's weight can be told before it is built.

use quantity::Fraction;

use super::materials::{Figure, Grade, MOISTURE_PCT, Material};

/// Densities in kg/m³ of materials whose figure does not follow from their density, *from memory* but for those of
/// softwood (500), hardwood (700) and cork (240), to which the published conductivities belong. Straw is the middle
/// of the 70 to 150 that its conductivity was measured at.
static DENSITIES: [(&str, f64); 28] = [
    ("acrylic", 1_190.0),
    ("aluminium", 2_700.0),
    ("bark", 350.0),
    ("brick", 1_700.0),
    ("cellulose", 50.0),
    ("concrete", 2_300.0),
    ("cork", 240.0),
    ("expanded polystyrene", 20.0),
    ("flax", 35.0),
    ("glass", 2_500.0),
    ("hardwood", 700.0),
    ("hdpe", 950.0),
    ("ldpe", 920.0),
    ("mineral wool", 40.0),
    ("phenolic foam", 40.0),
    ("plywood", 600.0),
    ("polycarbonate", 1_200.0),
    ("polypropylene", 910.0),
    ("pur foam", 35.0),
    ("pvc", 1_390.0),
    ("softwood", 500.0),
    ("stainless steel", 7_900.0),
    ("steel", 7_850.0),
    ("straw", 110.0),
    ("strawboard", 300.0),
    ("wood shavings", 100.0),
    ("wool", 25.0),
    ("air", 1.2),
];

impl Material {
    /// How heavy the material is, in kg/m³.
    ///
    /// # What it gives
    /// Of wood by its specific gravity G and moisture M, dry mass on the volume as it stands: 1000 · G · (1 + M). Of
    /// wood and clay of a density that is told, that one. Of all others a usual figure.
    ///
    /// # Holds for
    /// A first idea of a hive's weight; single boards differ by a fifth.
    ///
    /// # Source
    /// Specific gravities as for [`super::wood_conductivity`], *from memory*; usual figures *from memory*.
    ///
    /// # Checked against
    /// 500 kg/m³ for softwood and 700 for hardwood, to which ISO 10456 gives conductivities.
    pub fn density_kg_per_m3(&self, grade: Grade) -> Option<f64> {
        match self.figure {
            Figure::Wood(gravity) => {
                let moisture = grade.moisture.map_or(MOISTURE_PCT, Fraction::to_percent);
                Some(1_000.0 * gravity * (1.0 + moisture / 100.0))
            }
            Figure::WoodByDensity | Figure::ClayByDensity => grade.density_kg_per_m3,
            Figure::Plain(..) | Figure::AirGap => DENSITIES
                .iter()
                .find(|(name, _)| *name == self.name)
                .map(|(_, density)| *density),
        }
    }
}

//! What a loss means to the bees: their mass against it, what holds the hive warm, and the honey for it.

use quantity::{Celsius, Doubt, Estimate, Mass, Sourced};

use super::{Loss, estimate};
use crate::sources::MITCHELL_2016;
use crate::winter::{HONEY_MJ_PER_KG, fitted_watts};

/// The mass of bees for each W/K that wooden hives stay below in winter, in kg·K/W.
pub static WOODEN_KG_K_PER_W: Sourced<f64> = Sourced {
    value: 0.8,
    doubt: Doubt::Unstated,
    locator: "abstract: below",
    holds_for: "common wooden hives in winter",
    source: &MITCHELL_2016,
};

/// The mass of bees for each W/K above which clustering may not be needed, in kg·K/W.
pub static CLUSTER_FREE_KG_K_PER_W: Sourced<f64> = Sourced {
    value: 2.0,
    doubt: Doubt::Unstated,
    locator: "abstract: above it clustering may be optional",
    holds_for: "hives and hollow trees in winter",
    source: &MITCHELL_2016,
};

/// The mass of bees for each W/K that hollow trees come above in winter, in kg·K/W.
pub static TREE_KG_K_PER_W: Sourced<f64> = Sourced {
    value: 5.0,
    doubt: Doubt::Unstated,
    locator: "abstract: above",
    holds_for: "hollow trees in winter",
    source: &MITCHELL_2016,
};

const SECONDS_PER_DAY: f64 = 86_400.0;

impl Loss {
    /// The mass of bees for each W/K that the hive loses, in kg·K/W; the more, the easier it is kept warm.
    pub fn mass_conductance_kg_k_per_w(&self, bees: Mass) -> Estimate {
        let (ua, kg) = (self.ua_w_per_k, bees.to_kg());
        estimate(kg / ua.value(), kg / ua.hi(), kg / ua.lo())
    }

    /// What it takes to hold all the air inside at one temperature and the air outside at another.
    ///
    /// # What it gives
    /// Watts; `None` where it is not warmer inside.
    ///
    /// # Equation
    /// UA · (inside − outside).
    ///
    /// # Holds for
    /// Steady cold. Broodless bees do not do this: they hold their cluster warm, and the air round it is little
    /// warmer than outside (see [`Loss::warmed_by_cluster_k`]).
    ///
    /// # Source
    /// Fourier's law.
    ///
    /// # Checked against
    /// The heated box of larch, 12.5 W for 14.6 to 16.0 K.
    pub fn watts(&self, inside: Celsius, outside: Celsius) -> Option<Estimate> {
        let warmer = inside.get() - outside.get();
        (warmer >= 0.0).then(|| scaled(self.ua_w_per_k, warmer))
    }

    /// The honey that holds all the air inside at one temperature and the air outside at another for so many days.
    ///
    /// # What it gives
    /// Kilograms; `None` where it is not warmer inside.
    ///
    /// # Equation
    /// UA · (inside − outside) · time / 12.7 MJ/kg.
    ///
    /// # Holds for
    /// As [`Loss::watts`]: brood that is kept warm, or hives compared with each other. What a broodless cluster eats
    /// follows from [`crate::winter`], which was measured.
    ///
    /// # Source
    /// Fourier's law; the heat of honey *from memory*.
    ///
    /// # Checked against
    /// What 1 kg of bees burns by the fit of Southwick 1985, 0.99 kg in 30 days, for as much warmth as they make.
    pub fn honey_kg(&self, inside: Celsius, outside: Celsius, days: f64) -> Option<Estimate> {
        let kg_per_w = days * SECONDS_PER_DAY / (HONEY_MJ_PER_KG.value * 1e6);
        let watts = self.watts(inside, outside)?;
        (days >= 0.0 && days.is_finite()).then(|| scaled(watts, kg_per_w))
    }

    /// How much warmer than outside a broodless cluster keeps the air of the hive by the warmth it cannot help making.
    ///
    /// # What it gives
    /// Kelvin.
    ///
    /// # Equation
    /// P / UA, P from [`fitted_watts`].
    ///
    /// # Holds for
    /// Clusters of 5 g to 1.2 kg with 2 °C about them; air that is everywhere as warm.
    ///
    /// # Source
    /// Southwick 1985; Fourier's law.
    ///
    /// # Checked against
    /// 4.86 W, computed from the fit for 1 kg.
    pub fn warmed_by_cluster_k(&self, bees: Mass) -> Estimate {
        let (ua, watts) = (self.ua_w_per_k, fitted_watts(bees));
        estimate(watts / ua.value(), watts / ua.hi(), watts / ua.lo())
    }
}

fn scaled(of: Estimate, times: f64) -> Estimate {
    estimate(times * of.value(), times * of.lo(), times * of.hi())
}

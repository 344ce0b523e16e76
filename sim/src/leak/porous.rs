//! A wall that gas seeps through: a porous casting, perished rubber.

use super::measured::{Measure, Measured};
use crate::quantities;
use crate::flow::{Flow, Regime};
use crate::flow::upwind::{Law, Upwind};
use crate::medium::GasState;
use crate::scalar::{Over, Scalar};
use crate::units::Dimension;

quantities! {
    /// Porous wall.
    pub struct Porous {
        /// Area of the porous wall.
        area: Area [0.0, 1.0],
        /// Thickness of the wall.
        thickness: Length [1e-4, 0.1],
        /// Permeability of the material (Darcy's law): a brick has about 1e-8 mm2, fine sand 1e-5 mm2.
        permeability: Area [0.0, 1e-9],
    }
}

impl<P: Scalar> Porous<P> {
    /// Flow between two gases: Darcy's law for a gas of one temperature,
    /// `ṁ = A κ (p_a² - p_b²)/(2 μ R T t)`.
    ///
    /// Source: `bear1972` ch. 5. Laminar in the pores, without slip; viscosity and
    /// temperature of the feeding side.
    pub fn flow<S: Over<P>>(&self, a: &GasState<S>, b: &GasState<S>) -> Flow<S> {
        let conductance = S::lift(self.area * self.permeability / self.thickness);
        Upwind::new(a, b).flow::<1, 6>([conductance], DarcyLaw)
    }
}

/// Flow from area times permeability over thickness.
struct DarcyLaw;

impl Law<1> for DarcyLaw {
    #[inline]
    fn size<T: Scalar>(&self, up: &GasState<T>, pressure_down: T, [conductance]: [T; 1]) -> T {
        let fall = (up.pressure - pressure_down) * (up.pressure + pressure_down);
        let resistance = up.viscosity() * up.gas_constant * up.temperature * 2.0;
        conductance * fall / resistance
    }
}

impl<P: Scalar> Measured<P> for Porous<P> {
    /// From a thousandth of a brick's to above the coarsest sand's (own choice).
    const MEASURE: Measure = Measure {
        words: "permeability of the wall",
        dimension: Dimension::Area,
        least: 1e-17,
        widest: 1e-9,
        felt: false,
        made: false,
    };

    fn size(&self) -> P {
        self.permeability
    }

    fn sized(self, permeability: P) -> Self {
        Self {
            permeability,
            ..self
        }
    }

    fn area(&self, _outward: P) -> Option<P> {
        None
    }
}

impl Porous {
    /// How the gas moves through it.
    pub fn regime(&self, _a: &GasState<f64>, _b: &GasState<f64>) -> Regime {
        Regime::Laminar
    }
}

//! The standing tract of a decay test: readings to leak, leak to readings.

use super::{AIR, EVEN, Span, effective_flow, interval};
use crate::flow::Flow;
use crate::flow::orifice::{Discharge, orifice};
use crate::medium::GasState;
use crate::root::Bracket;
use crate::solve::explicit::Refused;
use crate::study::running::tank::{Tank, Wall, decay_flow};

/// Standard doubt of the film of [`convection`](crate::heat::vessel::convection),
/// ln 2: a factor of two either way. A judgement: pipes are narrower than the vessels
/// the law was measured in (Rayleigh number 1e4 to 1e7 instead of 1e7 to 1e11), and where a
/// jet enters, and how far it reaches, nobody knows.
pub const FILM_DOUBT: f64 = std::f64::consts::LN_2;

/// A test that makes sense.
#[derive(Clone, Copy, Debug)]
pub struct Checked {
    /// Of the first reading, m³.
    pub volume: f64,
    /// Its standard doubt, share.
    pub volume_doubt: f64,
    /// Start, Pa abs.
    pub start: f64,
    /// Ambient, Pa abs.
    pub ambient: f64,
    /// Of air and walls, K.
    pub temperature: f64,
    /// Four times volume over surface, m.
    pub bore: f64,
    /// Smallest step of the gauge, Pa.
    pub resolution: f64,
    /// Standard doubt of the air's drift in temperature, K.
    pub drift: f64,
}

/// A pair of gauge readings, Pa gauge, and the time between, s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// At the start.
    pub start: f64,
    /// At the end.
    pub end: f64,
    /// s.
    pub time: f64,
    /// Volume over that of the first pair.
    pub volume_share: f64,
}

/// What a decay test finds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Found {
    /// Effective area (discharge included), m².
    pub area: Span,
    /// The same with air that stays at one temperature: most the walls can do.
    pub isothermal: f64,
    /// The same with walls that give no heat.
    pub adiabatic: f64,
    /// Mean flow of the first reading if isothermal, kg/s: `V Δp/(R T Δt)`.
    pub mean_flow: f64,
}

/// What the walls do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Heat {
    /// Air stays at one temperature.
    Isothermal,
    /// No heat.
    Adiabatic,
    /// Convection, its film times this.
    Convection(f64),
}

/// Longest test, s.
const LONGEST: f64 = 36_000.0;

impl Checked {
    /// What the readings find, less what the second reading finds.
    ///
    /// # Errors
    /// The integration cannot go on.
    pub fn find(&self, first: &Pair, second: Option<&Pair>) -> Result<Found, Refused> {
        // Gauge at start and end, volume, film, drift; the second reading's own.
        let left = |heat: Heat, doubts: &[f64; 8]| -> Result<f64, Refused> {
            let [start, end, volume, _, drift, start_2, end_2, drift_2] = *doubts;
            let whole = self.area(first, heat, [start, end, drift], volume)?;
            let rest = match second {
                Some(pair) => self.area(pair, heat, [start_2, end_2, drift_2], volume)?,
                None => 0.0,
            };
            Ok(whole - rest)
        };
        let film = |doubts: &[f64; 8]| Heat::Convection((FILM_DOUBT * doubts[3]).exp());
        let still = [0.0; 8];
        let gas = AIR.state(self.ambient, self.temperature);
        let drop = (first.start - first.end).abs();
        Ok(Found {
            area: interval(|doubts: &[f64; 8]| left(film(doubts), doubts))?,
            isothermal: left(Heat::Isothermal, &still)?,
            adiabatic: left(Heat::Adiabatic, &still)?,
            mean_flow: decay_flow(
                self.volume,
                drop,
                first.time,
                gas.gas_constant,
                self.temperature,
            ),
        })
    }

    /// Effective area of one pair; start, end and drift moved by so many standard
    /// deviations, and the volume.
    fn area(
        &self,
        pair: &Pair,
        heat: Heat,
        [start, end, drift]: [f64; 3],
        volume: f64,
    ) -> Result<f64, Refused> {
        let step = EVEN * self.resolution;
        let sign = pair.start.signum();
        let from = self.ambient + pair.start + start * step;
        let warmed = (self.ambient + pair.end) * (1.0 + drift * self.drift / self.temperature);
        let gauge = warmed + end * step - self.ambient;
        // A doubt may not carry the reading past ambient, nor past the start.
        let to = self.ambient + sign * (sign * gauge).max(0.05 * pair.end.abs());
        if (from - to) * sign <= 0.0 {
            return Ok(0.0);
        }
        let volume = self.volume * pair.volume_share * (self.volume_doubt * volume).exp();
        self.fitted(volume, from, to, pair.time, heat)
    }

    fn fitted(
        &self,
        volume: f64,
        from: f64,
        to: f64,
        time: f64,
        heat: Heat,
    ) -> Result<f64, Refused> {
        let (high, low) = (from.max(self.ambient), from.min(self.ambient));
        let gas = AIR.state(self.ambient, self.temperature);
        let flow = decay_flow(
            volume,
            (from - to).abs(),
            time,
            gas.gas_constant,
            self.temperature,
        );
        let guess = flow / effective_flow(1.0, high, low, self.temperature);
        let takes = |area: f64, heat| -> Result<f64, Refused> {
            let element = |a: &GasState<f64>, b: &GasState<f64>| {
                orifice(area, Discharge::Constant(1.0), a, b)
            };
            let tank = self.tank(volume, heat);
            let run = tank.run(from, self.temperature, gas, element);
            Ok(run.time_to(to, 20.0 * time)?.0)
        };
        // Where the walls have no time constant of their own, area and time are in
        // inverse proportion: one run tells.
        let scaled = |heat| Ok(guess * takes(guess, heat)? / time);
        match heat {
            Heat::Isothermal | Heat::Adiabatic => scaled(heat),
            Heat::Convection(_) => {
                let (least, most) = (scaled(Heat::Adiabatic)?, scaled(Heat::Isothermal)?);
                let late = |area: f64| Ok(takes(area, heat)? / time - 1.0);
                match falling_root(least, most, late) {
                    // Walls so quick that the explicit method balks keep the air at
                    // one temperature.
                    Err(Refused::Stiff { .. }) => Ok(most),
                    found => found,
                }
            }
        }
    }

    fn tank(&self, volume: f64, heat: Heat) -> Tank {
        let wall = match heat {
            Heat::Isothermal => Wall::Isothermal,
            Heat::Adiabatic => Wall::Adiabatic,
            Heat::Convection(film) => Wall::Convection {
                area: film * 4.0 * volume / self.bore,
                diameter: self.bore,
                temperature: self.temperature,
                heat_capacity: f64::INFINITY,
            },
        };
        Tank {
            volume,
            gas: AIR,
            wall,
        }
    }

    /// Time, s, until the gauge shows `end`, Pa gauge, through any element (flow from
    /// ambient, first, to the inside), and the gas then.
    ///
    /// # Errors
    /// The integration cannot go on, or the time is more than 36 000 s.
    pub fn time_to(
        &self,
        end: f64,
        heat: Heat,
        element: impl Fn(&GasState<f64>, &GasState<f64>) -> Flow<f64>,
    ) -> Result<(f64, GasState<f64>), Refused> {
        let outside = AIR.state(self.ambient, self.temperature);
        let first = AIR.state(self.start, self.temperature);
        let flow = element(&outside, &first).mass.abs();
        let whole = self.volume * (first.density() - outside.density()).abs() / flow;
        if !whole.is_finite() || whole > LONGEST {
            return Err(Refused::NoEvent { longest: LONGEST });
        }
        let tank = self.tank(self.volume, heat);
        let run = tank.run(self.start, self.temperature, outside, element);
        // A short search is a fine one; a leak that shuts as pressure falls takes longer.
        let mut longest = (100.0 * whole).min(LONGEST);
        loop {
            match run.time_to(self.ambient + end, longest) {
                Err(Refused::NoEvent { .. }) if longest < LONGEST => {
                    longest = (10.0 * longest).min(LONGEST);
                }
                found => return found,
            }
        }
    }

    /// Gauge pressure, Pa, at each of `times`, s.
    ///
    /// # Errors
    /// The integration cannot go on.
    pub fn trace(
        &self,
        times: &[f64],
        heat: Heat,
        element: impl Fn(&GasState<f64>, &GasState<f64>) -> Flow<f64>,
    ) -> Result<Vec<f64>, Refused> {
        let outside = AIR.state(self.ambient, self.temperature);
        let tank = self.tank(self.volume, heat);
        let run = tank.run(self.start, self.temperature, outside, element);
        let gauge = |gas: GasState<f64>| gas.pressure - self.ambient;
        Ok(run.trace(times)?.into_iter().map(gauge).collect())
    }
}

/// Root of a falling function that lies about `low` to `high` (> 0), to 1e-9.
fn falling_root<E>(low: f64, high: f64, f: impl Fn(f64) -> Result<f64, E>) -> Result<f64, E> {
    let (mut a, mut b) = (0.999 * low.min(high), 1.001 * high.max(low));
    let (mut fa, mut fb) = (f(a)?, f(b)?);
    for _ in 0..6 {
        if fa <= 0.0 {
            a *= 0.8;
            fa = f(a)?;
        } else if fb >= 0.0 {
            b *= 1.25;
            fb = f(b)?;
        } else {
            break;
        }
    }
    let mut bracket = Bracket::new((a, fa), (b, fb), None);
    for _ in 0..60 {
        let x = bracket.guess();
        let y = f(x)?;
        if y.abs() < 1e-9 || bracket.width() < 1e-10 * bracket.high.0 {
            return Ok(x);
        }
        bracket.take(x, y);
    }
    Ok(0.5 * (bracket.low.0 + bracket.high.0))
}

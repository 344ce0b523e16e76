//! Another model of the same kind of car, by other laws, sharing no code with `sim`: steady points
//! of a mean-value engine (Guzzella and Onder, Introduction to Modeling and Control of Internal
//! Combustion Engine Systems, 2010, for the kind of laws; every number is invented). Pressures Pa,
//! flows kg/s, temperatures K, torque N m, speed rpm.

use super::path::{AMBIENT, Path, R, orifice, rising};

/// How long-term trim is kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cells {
    /// One number, carried everywhere.
    One,
    /// By load: full load has its own, never learnt.
    ByLoad,
    /// By air flow with an offset at idle; the highest cell is carried on.
    ByFlow,
}

/// A type of car, or one car of it.
#[derive(Clone, Debug)]
pub struct Car {
    pub displacement: f64,
    pub cylinders: usize,
    /// Whether air is metered; else counted by manifold pressure.
    pub metered: bool,
    /// Highest volumetric efficiency, its speed, its fall either side, and how much cam phasing
    /// takes from it where the manifold is low.
    pub filling: [f64; 4],
    /// Friction mean pressure: constant, by speed/1000, by its square.
    pub friction: [f64; 3],
    /// Share of the fuel's heat that is work at best.
    pub work: f64,
    /// Spark kept back at idle, as a share of the work.
    pub idle_spark: f64,
    pub idle_speed: f64,
    pub idle_load: f64,
    /// Bore of the throttle, m, and the angle at which it is shut, degrees.
    pub throttle: (f64, f64),
    pub compressor: f64,
    pub turbine: f64,
    /// Effective area of the turbine and of the open wastegate, m².
    pub turbine_area: f64,
    pub gate_area: f64,
    /// Wastegate opening at part load.
    pub rest: f64,
    /// Duty where the gate is shut, and how it falls with opening.
    pub duty: (f64, f64),
    /// Boost aimed at, Pa, from this speed on; less below, and less towards the end.
    pub boost: (f64, f64, f64),
    /// Effectiveness and loss of the cooler, heat soaked up after it, K.
    pub cooler: (f64, f64, f64),
    /// Lambda at full boost, and boost from which it is richer than 1.
    pub rich: (f64, f64),
    pub cells: Cells,
    /// Whether the temperature sensor sits before the turbo.
    pub outside_sensor: bool,
    pub filter: f64,
    /// How far pulses swing the pressure before the turbine at idle, Pa.
    pub swing: f64,
    /// Share of the fuel of cycles that never fired which the oxygen sensor sees.
    pub unburnt_seen: f64,
    // What differs from car to car, and what faults change.
    pub meter_scale: f64,
    pub delivery: f64,
    pub sensor_shift: f64,
    pub boost_shift: f64,
}

/// What is wrong, with its size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wrong {
    Nothing,
    /// A hole, m, in the duct before the compressor, hot pipe, cold pipe, manifold, exhaust.
    Hole(usize, f64),
    /// The meter (or the manifold pressure sensor) reads this share.
    Meter(f64),
    Fuel(f64),
    GateOpen(f64),
    /// Compressor bypass valve open: effective area, m².
    Recirculation(f64),
    /// Share of the filling that is left.
    Tired(f64),
    /// Share of the cycles that never fire.
    Dead(f64),
}

#[derive(Clone, Copy, Debug)]
pub enum Driven {
    Idle,
    Part(f64, f64),
    Full(f64),
}

#[derive(Clone, Copy, Debug, Default)]
pub struct Point {
    pub speed: f64,
    pub torque: f64,
    pub metered: f64,
    pub lambda: f64,
    pub trim: f64,
    pub manifold: f64,
    pub boost: f64,
    pub duty: f64,
    pub throttle: f64,
    pub charge: f64,
}

/// So lean an engine does not go on: idling, with much burnt gas in the charge, and under load (Heywood
/// 1988, from memory).
pub const BURNS: [f64; 2] = [1.25, 1.4];

/// The engine with its throttle wide open.
struct Blown {
    gate: f64,
    manifold: f64,
    path: Path,
    /// Whether the turbo could give more.
    spare: bool,
}

impl Car {
    fn aim(&self, boost: f64) -> f64 {
        let (lambda, from) = self.rich;
        let far = ((boost - from) / (self.boost.0 - from).max(1e3)).clamp(0.0, 1.0);
        1.0 + (lambda - 1.0) * far
    }

    fn rest_gate(&self, wrong: Wrong) -> f64 {
        match wrong {
            Wrong::GateOpen(open) => open.max(self.rest),
            _ => self.rest,
        }
    }

    /// The path with the boost that the turbo makes by itself with the gate as it is, at a
    /// manifold pressure that the throttle holds; wide open where it cannot.
    fn free(
        &self,
        wrong: Wrong,
        speed: f64,
        manifold: f64,
        gate: f64,
        lambda: f64,
        spark: f64,
    ) -> Path {
        let boost = rising(AMBIENT.0 * 0.9, 3.4e5, |before| {
            -self
                .path(
                    wrong,
                    speed,
                    manifold.min(before),
                    before,
                    gate,
                    [lambda, spark],
                )
                .spare
                + 2e4 * (before / AMBIENT.0 - 1.0)
        });
        self.path(
            wrong,
            speed,
            manifold.min(boost),
            boost,
            gate,
            [lambda, spark],
        )
    }

    /// A steady point; none where the engine does not give what is asked.
    pub fn point(&self, wrong: Wrong, driven: Driven) -> Option<Point> {
        match driven {
            Driven::Idle => Some(self.idle(wrong)),
            Driven::Part(speed, torque) => Some(self.part(wrong, speed, torque)),
            Driven::Full(speed) => self.full(wrong, speed),
        }
    }

    /// Idling.
    fn idle(&self, wrong: Wrong) -> Point {
        let gate = self.rest_gate(wrong);
        // What the shut throttle lets through is the least: a hole that gives more makes
        // the engine run up.
        let least = 0.15 * self.displacement;
        let with = |lambda: f64| {
            let at = |speed: f64| {
                let path = |p: f64| self.free(wrong, speed, p, gate, lambda, self.idle_spark);
                let manifold = rising(12e3, 95e3, |p| path(p).torque - self.idle_load);
                (manifold, path(manifold))
            };
            let (speed, (manifold, path)) = match at(self.idle_speed) {
                found if found.1.through >= least => (self.idle_speed, found),
                _ => {
                    let up = rising(self.idle_speed, 3000.0, |n| at(n).1.through - least);
                    (up, at(up))
                }
            };
            self.read(wrong, speed, manifold, path, gate, 1.0)
        };
        // A trim at its stop leaves the mixture lean, and a lean engine takes more air.
        let left = |lambda: f64| with(lambda).lambda - self.sensor_shift;
        let lambda = match left(1.0) {
            lean if lean > 1.0 + 1e-6 => rising(1.0, lean, |lambda| lambda - left(lambda)),
            right => right,
        };
        with(lambda.max(1.0))
    }

    /// Part load: throttled while that gives the torque, else wide open with the boost that it takes.
    fn part(&self, wrong: Wrong, speed: f64, torque: f64) -> Point {
        let gate = self.rest_gate(wrong);
        let at = |p: f64| self.free(wrong, speed, p, gate, 1.0, 1.0);
        let manifold = rising(12e3, 200e3, |p| at(p).torque - torque);
        let path = at(manifold);
        if manifold < path.boost {
            return self.read(wrong, speed, manifold, path, gate, 1.0);
        }
        let blown = |target: f64| self.blown(wrong, speed, target, |_| 1.0, 1.0);
        let target = rising(path.boost, AMBIENT.0 + self.boost.0, |target| {
            blown(target).path.torque - torque
        });
        let Blown {
            gate,
            manifold,
            path,
            ..
        } = blown(target);
        self.read(wrong, speed, manifold, path, gate, 1.0)
    }

    /// Throttle wide open, this pressure before it or as much as the turbo makes; `lambda` over it.
    fn blown(
        &self,
        wrong: Wrong,
        speed: f64,
        target: f64,
        lambda: impl Fn(f64) -> f64,
        spark: f64,
    ) -> Blown {
        let stuck = match wrong {
            Wrong::GateOpen(open) => open,
            _ => 0.0,
        };
        let behind = |before: f64| before - 1.5e3 * (speed / 4000.0);
        let at = |before: f64, gate: f64| {
            let burnt = [lambda(before - AMBIENT.0), spark];
            self.path(wrong, speed, behind(before), before, gate, burnt)
        };
        let spare = at(target, stuck).spare > 0.0;
        let (gate, before) = match spare {
            true => (rising(stuck, 1.0, |g| -at(target, g).spare), target),
            false => {
                let most = rising(0.95 * AMBIENT.0, 3.4e5, |b| -at(b, stuck).spare);
                (stuck, most)
            }
        };
        Blown {
            gate,
            manifold: behind(before),
            path: at(before, gate),
            spare,
        }
    }

    fn full(&self, wrong: Wrong, speed: f64) -> Option<Point> {
        let (most, from, fall) = self.boost;
        let low = 1.0 - 0.5 * ((from - speed) / 1500.0).clamp(0.0, 1.0);
        let high = 1.0 - fall * ((speed - 4500.0) / 2000.0).clamp(0.0, 1.0);
        let target = AMBIENT.0 + most * low.min(high);
        let rich = self.fuelled(wrong, speed);
        let lambda = |boost: f64| self.aim(boost) / rich;
        let found = self.blown(wrong, speed, target, lambda, 0.93);
        let Blown {
            gate,
            manifold,
            path,
            spare,
        } = found;
        let aimed = lambda(path.boost - AMBIENT.0);
        let mut point = self.read(wrong, speed, manifold, path, gate, aimed);
        point.throttle = 1.0;
        point.trim = self.carried(wrong) - 1.0;
        if !spare {
            point.duty = self.duty_of(0.0, true);
        }
        Some(point)
    }

    /// The trim that is carried to full load, as a factor.
    fn carried(&self, wrong: Wrong) -> f64 {
        match self.cells {
            Cells::One => self.learnt(
                wrong,
                Driven::Part(2400.0, 0.35 * self.displacement * 1e5 / 4.0),
            ),
            Cells::ByLoad => 1.0,
            Cells::ByFlow => self.learnt(
                wrong,
                Driven::Part(3000.0, 0.9 * self.displacement * 1e5 / 2.0),
            ),
        }
    }

    /// Fuel a unit of true air over what is aimed at, at full load: open loop, with the trim
    /// that is carried there.
    fn fuelled(&self, wrong: Wrong, speed: f64) -> f64 {
        // Counted over true air near the target, without the fuel's own part in it.
        let before = AMBIENT.0 + self.boost.0;
        let path = self.path(wrong, speed, before, before, 0.3, [0.9, 0.93]);
        let counted = self.counted(wrong, speed, before, &path) / path.air;
        counted * self.delivered(wrong) * self.carried(wrong)
    }

    fn learnt(&self, wrong: Wrong, driven: Driven) -> f64 {
        self.point(wrong, driven)
            .map_or(1.0, |point| 1.0 + point.trim)
    }

    fn delivered(&self, wrong: Wrong) -> f64 {
        self.delivery
            * match wrong {
                Wrong::Fuel(share) => share,
                _ => 1.0,
            }
    }

    /// Air as the computer counts it.
    fn counted(&self, wrong: Wrong, speed: f64, manifold: f64, path: &Path) -> f64 {
        let scale = self.scale(wrong);
        match self.metered {
            true => path.metered * scale,
            false => {
                let read = manifold * scale;
                let ve = self.filling(speed, read, AMBIENT.0 * 1.05);
                ve * read / (R * path.charge) * self.displacement * speed / 120.0
            }
        }
    }

    /// Of the meter, or of the manifold pressure sensor where there is none.
    fn scale(&self, wrong: Wrong) -> f64 {
        match wrong {
            Wrong::Meter(share) => self.meter_scale * share,
            _ => self.meter_scale,
        }
    }

    /// How much leaner than the mixture the oxygen sensor reads it: cycles that never fired leave their
    /// air whole and their fuel in part.
    fn lean_by(&self, wrong: Wrong) -> f64 {
        match wrong {
            Wrong::Dead(share) => 1.0 / (1.0 - share * (1.0 - self.unburnt_seen)),
            _ => 1.0,
        }
    }

    fn duty_of(&self, gate: f64, full: bool) -> f64 {
        match full {
            true => (self.duty.0 - self.duty.1 * gate).clamp(0.0, 1.0),
            false => 0.0,
        }
    }

    fn read(
        &self,
        wrong: Wrong,
        speed: f64,
        manifold: f64,
        path: Path,
        gate: f64,
        lambda: f64,
    ) -> Point {
        let counted = self.counted(wrong, speed, manifold, &path);
        let closed = (lambda - 1.0).abs() < 1e-9;
        let seen = (path.air + self.drawn(wrong, &path)) * self.lean_by(wrong);
        let wanted = seen / (counted * self.delivered(wrong)) - 1.0;
        let trim = wanted.clamp(-0.3, 0.3);
        let lambda = if closed {
            (1.0 + wanted) / (1.0 + trim)
        } else {
            lambda * self.lean_by(wrong)
        };
        // A manifold pressure sensor that is off is off in what is read of it.
        let shown = match self.metered {
            true => manifold,
            false => manifold * self.scale(wrong),
        };
        let (bore, shut) = self.throttle;
        let whole = std::f64::consts::FRAC_PI_4 * bore * bore;
        let area = path.through
            / orifice(
                1.0,
                path.boost.max(manifold * 1.002),
                manifold,
                path.charge,
                1.4,
            );
        let open = (1.0 - (area / (0.8 * whole)).clamp(0.0, 1.0 - 1e-9)) * shut.to_radians().cos();
        let throttle = ((open.acos().to_degrees() - shut) / (90.0 - shut)).clamp(0.0, 1.0);
        Point {
            speed,
            torque: path.torque,
            metered: counted,
            lambda: lambda + self.sensor_shift,
            trim,
            manifold: shown,
            boost: path.boost - AMBIENT.0 + self.boost_shift,
            duty: self.duty_of(gate, !closed),
            throttle,
            charge: if self.outside_sensor {
                AMBIENT.1 + 6.0
            } else {
                path.charge
            },
        }
    }
}

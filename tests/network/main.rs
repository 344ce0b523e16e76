//! The network as a whole: conservation, steady points, exact derivatives,
//! robustness, and the signs that must come out of the equations.

mod across;
mod bypass;
mod cars;
mod computer;
mod conservation;
mod defects;
mod derivatives;
mod drives;
mod edge;
mod grows;
mod histories;
mod limiter;
mod misfire;
mod openings;
mod practice;
mod robustness;
mod signs;
mod steady_points;
mod strategies;
mod surroundings;
mod two_answers;
mod unknown;
mod witness;

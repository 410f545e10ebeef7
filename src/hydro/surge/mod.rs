//! Surge: the boat on one course in a random sea, pushed down one face and held by the back of the next.
//!
//! m (1 + a) dV/dt = T(V) - R(V - u) + F(x, t), dx/dt = V: thrust by her own speed, resistance by that through the water
//! that moves with the waves, and the waves' force along the course. Its mean speed is not that of the mean forces: it is found
//! by simulating, since linearising misses half and more of what a light boat gains in following seas.

mod course_waves;
mod curves;
mod hull_force;
mod phases;
mod random_waves;
mod ride;
mod sine;
mod speed_curve;

pub use course_waves::{CourseWaves, Push, SurgeWave};
pub use curves::SurgeCurves;
pub use hull_force::{HullForce, WavePush};
pub use phases::{Phases, Row, Turned, dot, fill_up};
pub use random_waves::{RandomWave, RandomWaves};
pub use ride::{Ride, RideStart, RideTime, Sailed, recovered, ride, rides};
pub use speed_curve::SpeedCurve;

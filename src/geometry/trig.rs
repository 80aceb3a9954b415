//! Sines, angles and lengths from one implementation, so that the same job gives the same bytes on every machine.

/// Sine of an angle in radians.
pub fn sin(angle: f64) -> f64 {
    libm::sin(angle)
}

/// Cosine of an angle in radians.
pub fn cos(angle: f64) -> f64 {
    libm::cos(angle)
}

/// Sine and cosine of an angle in radians.
pub fn sin_cos(angle: f64) -> (f64, f64) {
    libm::sincos(angle)
}

/// Tangent of an angle in radians.
pub fn tan(angle: f64) -> f64 {
    libm::tan(angle)
}

/// The angle in radians, within ±π/2, whose tangent is `value`.
pub fn atan(value: f64) -> f64 {
    libm::atan(value)
}

/// The angle in radians, within ±π, of the direction (x, y).
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// The angle in radians, 0 to π, whose cosine is `value`; values beyond ±1 by rounding count as ±1.
pub fn acos(value: f64) -> f64 {
    libm::acos(value.clamp(-1.0, 1.0))
}

/// The angle in radians, within ±π/2, whose sine is `value`; values beyond ±1 by rounding count as ±1.
pub fn asin(value: f64) -> f64 {
    libm::asin(value.clamp(-1.0, 1.0))
}

/// Length of the vector (x, y).
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// Sine and cosine of an angle in degrees, exact at whole quarter turns.
#[allow(clippy::float_cmp, reason = "exactly the quarter turns are meant")]
pub fn sin_cos_deg(degrees: f64) -> (f64, f64) {
    let turned = degrees.rem_euclid(360.0);
    if turned == 0.0 {
        (0.0, 1.0)
    } else if turned == 90.0 {
        (1.0, 0.0)
    } else if turned == 180.0 {
        (0.0, -1.0)
    } else if turned == 270.0 {
        (-1.0, 0.0)
    } else {
        sin_cos(turned.to_radians())
    }
}

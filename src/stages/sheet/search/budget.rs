//! How long the search may go on: so much tried, or until someone says that it is enough. What is tried is counted in
//! places of convex pieces, for they are what takes the time.

/// Tells how much of the time that there is has gone, 0 to 1.
type Clock<'a> = &'a (dyn Fn() -> f64 + Sync);

/// Hears of so many sheets, and how much has gone, 0 to 1.
type Hears<'a> = &'a (dyn Fn(usize, f64) + Sync);

/// How much may be tried, and how much was.
pub(in super::super) struct Budget<'a> {
    /// How much may be tried; none where the clock alone counts.
    most: Option<u64>,
    tried: u64,
    clock: Clock<'a>,
    hears: Option<Hears<'a>>,
}

impl<'a> Budget<'a> {
    pub(in super::super) fn new(most: Option<u64>, clock: Clock<'a>) -> Self {
        Self { most, tried: 0, clock, hears: None }
    }

    /// The same, and someone who hears of the best so far.
    pub(in super::super) fn heard_by(self, hears: Hears<'a>) -> Self {
        Self { hears: Some(hears), ..self }
    }

    /// Tells how many sheets the best so far takes.
    pub(super) fn tell(&self, sheets: usize, gone: f64) {
        if let Some(hears) = self.hears {
            hears(sheets, gone);
        }
    }

    pub(super) fn spend(&mut self, tried: u64) {
        self.tried += tried;
    }

    /// How much has gone, 0 to 1.
    pub(super) fn gone(&self) -> f64 {
        let counted = self.most.map_or(0.0, |most| self.tried as f64 / most.max(1) as f64);
        counted.max((self.clock)())
    }

    /// How much may be tried; very much where the clock alone counts.
    pub(super) fn most(&self) -> u64 {
        self.most.unwrap_or(u64::MAX)
    }

    /// What was tried so far.
    pub(super) fn tried(&self) -> u64 {
        self.tried
    }
}

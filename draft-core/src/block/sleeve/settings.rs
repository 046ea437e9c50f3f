//! What the maker can choose about a sleeve.

use crate::Setting;

/// Ease of the cap over the armhole. Common practice for a woven dress is 25–40 mm in textbooks, about half that in
/// the trade; 20 mm also suits velvet and satin, which do not shrink in.
pub const CAP_EASE: Setting =
    Setting::length("cap-ease", "Cap ease", "By how much the cap is longer than the armhole, eased in over the crown.", 20.0, 0.0, 60.0);
pub const ARM_EASE: Setting = Setting::length("upper-arm-ease", "Ease at the upper arm", "Added to the upper-arm girth.", 50.0, 0.0, 400.0);
pub const ELBOW_EASE: Setting =
    Setting::length("elbow-ease", "Ease at the elbow", "Added to the girth of the bent elbow.", 30.0, 0.0, 400.0);
pub const WRIST_EASE: Setting = Setting::length("wrist-ease", "Ease at the wrist", "Added to the wrist girth.", 20.0, 0.0, 400.0);
pub const CUT: Setting = Setting::choice(
    "cut",
    "Cut",
    "In one piece with a seam under the arm, or a top and an under sleeve with seams at forearm and hindarm.",
    &["one piece", "two pieces"],
);
pub const ELBOW: Setting = Setting::choice(
    "elbow",
    "Elbow",
    "How a sleeve in one piece bends: a dart in the back seam, ease in the back seam, both seams shaped, or not at all.",
    &["dart", "ease", "shaped seam", "none"],
);
pub const BEND: Setting =
    Setting::angle("elbow-bend", "Bend at the elbow", "How far the lower arm is turned forward; 6–10° is usual.", 8.0, 4.0, 12.0);
pub const FOREARM_SHIFT: Setting = Setting::length(
    "forearm-seam-shift",
    "Forearm seam under the arm",
    "How far the forearm seam of two pieces lies behind the fold, out of sight.",
    22.0,
    0.0,
    35.0,
);
pub const HINDARM_SHIFT: Setting = Setting::length(
    "hindarm-seam-shift",
    "Hindarm seam under the arm",
    "How far the hindarm seam of two pieces lies behind the fold at the cap; nought at the wrist.",
    18.0,
    0.0,
    30.0,
);
pub const END: Setting =
    Setting::choice("end", "End", "A point over the back of the hand, straight at the wrist, or a bell.", &["point", "straight", "bell"]);
pub const POINT: Setting = Setting::length(
    "point-past-knuckle",
    "Point past the knuckle",
    "How far the tip reaches past the middle knuckle; less than nought stops short of it.",
    10.0,
    -80.0,
    80.0,
);
pub const LOOP: Setting = Setting::choice(
    "finger-loop",
    "Finger loop",
    "A loop for the middle finger inside the tip of the point, so that it stays on the hand.",
    &["yes", "no"],
);
pub const FACING: Setting = Setting::choice("point-facing", "Facing of the point", "A piece that faces the point.", &["yes", "no"]);
pub const FACING_DEPTH: Setting =
    Setting::length("facing-depth", "Depth of the facing", "How far the facing reaches above the wrist.", 45.0, 30.0, 80.0);
pub const UNDERLAP: Setting = Setting::length(
    "underlap",
    "Underlap of the opening",
    "Finished width of the strip under the wrist opening; nought for none.",
    18.0,
    0.0,
    40.0,
);
pub const LEAST_OPENING: Setting = Setting::length(
    "least-opening",
    "Least opening",
    "A wrist opening, where the hand needs one, is at least this long, so that it can be sewn and closed.",
    60.0,
    0.0,
    150.0,
);
pub const BUTTON_SPACING: Setting = Setting::length(
    "button-spacing",
    "Buttons apart",
    "About how far the buttons of the wrist opening stand apart; they are spread evenly.",
    25.0,
    8.0,
    80.0,
);
pub const BELL_FROM: Setting =
    Setting::choice("bell-from", "Bell from", "A bell sewn on at the elbow, or the whole sleeve flaring from its cap.", &["elbow", "cap"]);
pub const BELL_GIRTH: Setting =
    Setting::length("bell-girth", "Width of the bell", "All the way round the hem of a bell.", 700.0, 200.0, 3000.0);
pub const BELL_LENGTH: Setting = Setting::length(
    "bell-past-wrist",
    "Bell past the wrist",
    "How far a bell reaches past the wrist; less than nought ends above it.",
    0.0,
    -200.0,
    600.0,
);
pub const SEAM_ALLOWANCE: Setting = Setting::length("seam-allowance", "Seam allowance", "On the long seams.", 15.0, 0.0, 50.0);
pub const CAP_ALLOWANCE: Setting =
    Setting::length("cap-allowance", "Cap allowance", "On the cap, the same as at the armhole.", 10.0, 0.0, 50.0);
pub const END_ALLOWANCE: Setting =
    Setting::length("end-allowance", "Allowance at the end", "For a facing at the point, or the hem of another end.", 10.0, 0.0, 80.0);

/// The settings of the sleeve.
pub const SETTINGS: &[&Setting] = &[
    &CAP_EASE,
    &ARM_EASE,
    &ELBOW_EASE,
    &WRIST_EASE,
    &CUT,
    &ELBOW,
    &BEND,
    &FOREARM_SHIFT,
    &HINDARM_SHIFT,
    &END,
    &POINT,
    &LOOP,
    &FACING,
    &FACING_DEPTH,
    &UNDERLAP,
    &LEAST_OPENING,
    &BUTTON_SPACING,
    &BELL_FROM,
    &BELL_GIRTH,
    &BELL_LENGTH,
    &SEAM_ALLOWANCE,
    &CAP_ALLOWANCE,
    &END_ALLOWANCE,
];

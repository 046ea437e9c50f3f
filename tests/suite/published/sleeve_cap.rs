//! Sleeve caps against handbooks.

use draft_core::block::sleeve_cap::{HEIGHT_BAND, of_height, of_width};

const INCH: f64 = 25.4;

/// Source: L. I. Baldt, *Clothing for Women* (1916), shirt: cap height a quarter of the armhole (18 in: 4 1/2 in), for a
/// loose sleeve; the fitted rule is a third (common practice, from memory). Low caps make wide sleeves: ours must say
/// the same, and the band that our fitted sleeves keep to must exclude the shirt and include the fitted rule.
#[test]
fn a_shirts_cap_is_lower_and_its_sleeve_wider() {
    let half = 9.0 * INCH;
    let (shirt, fitted) = (of_height(half, half, 0.0, 4.5 * INCH).unwrap(), of_height(half, half, 0.0, 6.0 * INCH).unwrap());
    assert!(shirt.width() > fitted.width() + INCH, "{} and {}", shirt.width() / INCH, fitted.width() / INCH);
    assert!(HEIGHT_BAND.0 > 0.25 && (HEIGHT_BAND.0..=HEIGHT_BAND.1).contains(&(1.0 / 3.0)));
}

/// Source: I. R. and M. G. Burton, *School Sewing* (1916), one-piece sleeve: armhole 17 in, cap 4 in high, full width
/// 18 in at the underarm. So wide a sleeve cannot be sewn in flat: its cap, even as straight lines, is longer than the armhole by more
/// than an inch, and the book gathers it at the top. Ours with that ease and height must come out at the book's width, within its 1/4 in steps.
#[test]
fn burtons_sleeve_is_gathered_and_ours_agrees_when_told_so() {
    let armhole = 17.0 * INCH;
    let straight = 2.0 * (9.0f64.hypot(4.0)) * INCH;
    assert!(straight > armhole + INCH, "{:.2} in", straight / INCH);
    // Solve for the ease that gives the book's width at the book's height.
    let ease = draft_core::geometry::root(0.0, 8.0 * INCH, |e| {
        of_height(armhole / 2.0, armhole / 2.0, e, 4.0 * INCH).map_or(-1e3, |c| c.width() - 18.0 * INCH)
    })
    .unwrap();
    assert!(ease > INCH, "{:.2} in of fullness", ease / INCH);
    let cap = of_width(armhole / 2.0, armhole / 2.0, ease, 18.0 * INCH).unwrap();
    assert!((cap.height - 4.0 * INCH).abs() < INCH / 4.0, "{:.2} in", cap.height / INCH);
}

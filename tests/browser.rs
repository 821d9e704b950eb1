//! In the browser the core answers as it does natively.
#![cfg(target_arch = "wasm32")]

use linkfold::numeric::{Bracket, root_in};
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

/// x³ = 2: the cube root by search against the closed form.
#[wasm_bindgen_test]
fn a_root_found_in_the_browser_is_the_closed_form() {
    let found = root_in(Bracket { low: 1.0, high: 2.0 }, |x| x.powi(3) - 2.0).unwrap();
    let exact = 2f64.cbrt();
    assert!((found - exact).abs() < 1e-12, "{found}, expected {exact}");
}

//! Runs wasm tests in the browser; called by cargo (`.cargo/config.toml`), never by hand.

fn main() -> Result<(), Box<dyn std::error::Error>> {
    wasm_bindgen_cli::wasm_bindgen_test_runner::run_cli_with_args(std::env::args_os())?;
    Ok(())
}

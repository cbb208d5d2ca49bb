//! Hands the compiler target to the program, which writes it into every run.

fn main() {
    let target = std::env::var("TARGET").unwrap_or_default();
    println!("cargo:rustc-env=LARKFIELD_TARGET={target}");
    println!("cargo:rerun-if-changed=build.rs");
}

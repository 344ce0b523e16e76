fn main() {
    println!("cargo:rerun-if-changed=src/cvode.c");
    cc::Build::new()
        .file("src/cvode.c")
        .warnings(false)
        .compile("shim");
    for library in ["cvode", "nvecserial", "sunmatrixdense", "sunlinsoldense"] {
        println!("cargo:rustc-link-lib=sundials_{library}");
    }
}

#!/usr/bin/env bash
# Builds the page's engine into the folder given (or `built` beside this script): WebAssembly,
# and the script that calls it. Serves a toolchain that has the wasm32 target (rustup), and
# Debian's own packages where there is none:
#   apt-get install rustc-web cargo-web rust-web-src lld-19
# (got here as root; `PAGE_TOOLCHAIN=debian` asks for these).
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../.." && pwd)
out=${1:-$here/built}
target=wasm32-unknown-unknown
cd "$root"

# No path of the machine that built it goes into it.
crates=$(ls -d "${CARGO_HOME:-$HOME/.cargo}"/registry/src/* 2>/dev/null | head -1)
export RUSTFLAGS="--remap-path-prefix=$HOME=home --remap-path-prefix=$root=. \
--remap-path-prefix=${crates:-/none}=crates"
args=(build --locked --package page-door --profile page --target "$target")
export PATH="${CARGO_HOME:-$HOME/.cargo}/bin:$PATH"
has_target() {
  [ -d "$(rustc --print sysroot)/lib/rustlib/$target" ] ||
    { command -v rustup >/dev/null && rustup target add "$target"; }
}
if [ "${PAGE_TOOLCHAIN:-}" != debian ] && has_target; then
  cargo "${args[@]}"
else
  [ -x /usr/lib/llvm-19/bin/wasm-ld ] && [ -d /usr/lib/rustlib ] ||
    apt-get install -y -qq rustc-web cargo-web rust-web-src lld-19 >/dev/null
  RUSTC=/usr/bin/rustc RUSTC_BOOTSTRAP=1 \
    CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER=/usr/lib/llvm-19/bin/wasm-ld \
    /usr/bin/cargo "${args[@]}" -Z build-std=std,panic_abort
fi

version=$(sed -n 's/^wasm-bindgen = "=\(.*\)"/\1/p' "$here/door/Cargo.toml")
if ! wasm-bindgen --version 2>/dev/null | grep -qF " $version"; then
  env -u CARGO_TARGET_DIR cargo install wasm-bindgen-cli --locked --version "$version" ||
    env -u CARGO_TARGET_DIR cargo install wasm-bindgen-cli --version "$version"
fi
built=${CARGO_TARGET_DIR:-$root/target}/$target/page/page_door.wasm
mkdir -p "$out"
wasm-bindgen "$built" --target no-modules --no-typescript \
  --remove-name-section --remove-producers-section --out-dir "$out" --out-name engine
gzip -9nf "$out/engine_bg.wasm"
ls -l "$out"

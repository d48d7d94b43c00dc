# What the other scripts share; read by them with `.`, after they have gone to the project's folder.

say() { printf '%s\n' "$*" >&2; }
fail() { say "$0: $*"; exit 1; }

# A compiled unit is found again in a clone at another place.
export CCACHE_BASEDIR="$PWD" CCACHE_NOHASHDIR=1

# As many compilers at once as there are cores, and 800 MB for each; JOBS overrides.
jobs() {
    if [ -n "${JOBS:-}" ]; then echo "$JOBS"; return; fi
    awk -v cores="$(nproc)" '/^MemAvailable/ { n = int($2 / 800000); if (n > cores) n = cores; print n < 1 ? 1 : n }' \
        /proc/meminfo
}

# configure FOLDER [CMake options]: ninja where it is there. A folder that exists keeps its generator.
configure() {
    folder=$1
    shift
    if [ ! -f "$folder/CMakeCache.txt" ] && command -v ninja >/dev/null; then set -- -G Ninja "$@"; fi
    cmake -S . -B "$folder" "$@"
}

# make_targets FOLDER [TARGET…]: all of them without names.
make_targets() {
    folder=$1
    shift
    if [ $# -gt 0 ]; then set -- --target "$@"; fi
    cmake --build "$folder" --parallel "$(jobs)" "$@"
}

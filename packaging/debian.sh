# shellcheck shell=bash
# debian.sh - sourced by ./demo, ./check and .ci/run: are the Debian packages there, and how many cores may we use.

say() {
    printf '%s\n' "$*"
}

# One sentence on standard error, then the end.
give_up() {
    printf '%s\n' "$*" >&2
    exit 1
}

# packages_missing LIST...: names in the lists that are not installed, one a line.
packages_missing() {
    local wanted have
    wanted=$(sed -e 's/#.*//' -e '/^[[:space:]]*$/d' "$@" | sort -u)
    # shellcheck disable=SC2086 # the names are words
    have=$(dpkg-query -W -f='${db:Status-Status} ${Package}\n' $wanted 2>/dev/null | sed -n 's/^installed //p' | sort -u)
    comm -23 <(printf '%s\n' "$wanted") <(printf '%s\n' "$have")
}

# packages_ensure LIST...: install what is missing, or say in one sentence why that cannot be done.
packages_ensure() {
    command -v dpkg-query >/dev/null && command -v apt-get >/dev/null ||
        give_up "This script installs what it needs by apt-get and this machine has none: take Debian 12, or install the packages named in packaging/packages-*.txt by hand."
    local missing root=()
    missing=$(packages_missing "$@" | tr '\n' ' ')
    missing=${missing% }
    [ -n "$missing" ] || return 0
    say "Missing Debian packages: $missing"
    if [ "$(id -u)" != 0 ]; then
        command -v sudo >/dev/null ||
            give_up "They cannot be installed: you are not root and there is no sudo. Ask an administrator to run: apt-get install --no-install-recommends $missing"
        root=(sudo)
    fi
    say "Installing them; the first time this takes a minute or two."
    local log
    log=$(mktemp)
    if ! "${root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -q update >"$log" 2>&1 ||
        ! "${root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -q install -y --no-install-recommends $missing >>"$log" 2>&1; then
        tail -n 5 "$log" >&2
        rm -f "$log"
        give_up "apt-get could not install them (the last lines above are its own): is there a network, and is this Debian 12? Then run this script again."
    fi
    rm -f "$log"
    missing=$(packages_missing "$@" | tr '\n' ' ')
    [ -z "$missing" ] || give_up "apt-get reported success, yet these are still missing: $missing"
}

# node_ensure: node 18 or newer and npm, from Debian unless the machine has its own; they bundle the page.
node_ensure() {
    local major
    major=$(node --version 2>/dev/null | sed -n 's/^v\([0-9]*\).*/\1/p')
    if [ "${major:-0}" -lt 18 ] || ! command -v npm >/dev/null; then
        packages_ensure packaging/packages-node.txt
    fi
}

cores() {
    nproc 2>/dev/null || echo 2
}

#!/bin/sh
# Makes the fonts of this folder from Debian's package fonts-inter, with
# fonttools and brotli. Page (.woff2) and packet (.otf) share them.
set -eu
cd "$(dirname "$0")"
from=${1:-/usr/share/fonts/opentype/inter}
signs="U+0020-007E,U+00A0-017F,U+0192,U+018F,U+0218-021B,U+02C6,U+02C7,U+02D8-02DD"
signs="$signs,U+0394,U+03A9,U+03B1-03C9,U+1E9E,U+2002-200A,U+2010-2015,U+2018-201E,U+2020-2022,U+2026"
signs="$signs,U+202F,U+2030,U+2032-2033,U+2039-203A,U+2044,U+2070-2079,U+207A-207E,U+2080-208E"
signs="$signs,U+20A1-20BF,U+2116,U+2122,U+2126,U+2150-215F,U+2190-2199,U+21D2,U+21D4"
signs="$signs,U+2202,U+2205,U+2206,U+220F,U+2211,U+2212,U+2215,U+2219-221A,U+221E,U+2220,U+222B"
signs="$signs,U+2248,U+2260,U+2264-2265,U+2300,U+23F1,U+25A0-25A1,U+25B2,U+25B6,U+25BC,U+25CB,U+25CF"
signs="$signs,U+2610-2611,U+2713,U+2717,U+FB01-FB02"
for weight in Regular SemiBold Bold; do
    for flavour in "" woff2; do
        pyftsubset "$from/Inter-$weight.otf" --unicodes="$signs" --no-hinting --desubroutinize \
            --layout-features=kern,liga,ccmp,locl,mark,mkmk,tnum,pnum,frac,numr,dnom,sups,subs,case,zero \
            --output-file="Inter-$weight.${flavour:-otf}" ${flavour:+--flavor=$flavour}
    done
done

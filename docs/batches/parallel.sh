#!/bin/sh
# GNU parallel: four shares, on this machine or over ssh on the hosts of a list (add: --sshloginfile hosts.txt
# --workdir /shared/hub, the folder being on a disk that all hosts see).
set -eu
shares=4
seq "$shares" | parallel notchwright run hub-sweep.yaml --part "{}/$shares" --out "shares/{}" --no-maps --quiet
notchwright merge out/hub shares/*

#!/bin/sh
# GNU parallel: four shares, on this machine or over ssh on the hosts of a list (add: --sshloginfile hosts.txt
# --workdir /shared/hub, the folder being on a disk that all hosts see).
# A share with a variant that cannot be solved ends with 1: the merge tells of it, and refuses where a share is missing.
set -eu
shares=4
seq "$shares" | parallel notchwright run hub-sweep.yaml --part "{}/$shares" --out "shares/{}" --no-maps --quiet || :
notchwright merge out/hub shares/*

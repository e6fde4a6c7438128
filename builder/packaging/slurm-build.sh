#!/bin/sh
# Builds a baseline in parts as a Slurm job array, then joins them into the bytes of a single build:
#   sh slurm-build.sh RECIPE PARTS OUTPUT.sqlite [options of sbatch for the parts, such as --cpus-per-task=4]
# The recipe, its data and the output must be on a file system that all nodes share. Each part is written to
# OUTPUT.sqlite.part-I-of-PARTS and removed after the join. A part that is killed and requeued starts again;
# if one fails, the join is cancelled. THIRSTLINE_BUILDER names the program if it is not on the path.
set -eu
builder=${THIRSTLINE_BUILDER:-thirstline-builder}
step=submit
case ${1:-} in --part | --join) step=$1 && shift ;; esac
if [ $# -lt 3 ]; then
    echo "usage: sh $0 RECIPE PARTS OUTPUT.sqlite [SBATCH OPTIONS]" >&2
    exit 2
fi
recipe=$1 parts=$2 output=$3
shift 3
case $step in
--part)
    exec "$builder" build "$recipe" --part "$SLURM_ARRAY_TASK_ID/$parts" --jobs "${SLURM_CPUS_PER_TASK:-1}" \
        --overwrite -o "$output.part-$SLURM_ARRAY_TASK_ID-of-$parts"
    ;;
--join)
    for part in $(seq "$parts"); do set -- "$@" "$output.part-$part-of-$parts"; done
    "$builder" join "$@" --overwrite -o "$output" # a join that is requeued, too
    rm -f "$@"
    ;;
submit)
    if [ -e "$output" ]; then
        echo "$output exists: remove it or name another output" >&2
        exit 2
    fi
    array=$(sbatch --parsable --requeue --open-mode=append --job-name=thirstline-part --array="1-$parts" "$@" \
        "$0" --part "$recipe" "$parts" "$output")
    sbatch --parsable --open-mode=append --job-name=thirstline-join --dependency="afterok:${array%%;*}" \
        --kill-on-invalid-dep=yes "$0" --join "$recipe" "$parts" "$output"
    ;;
esac

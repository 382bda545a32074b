#!/bin/sh
# A Slurm array of four tasks: sbatch --parsable slurm.sh, then the merge when all have ended:
#   sbatch --dependency=afterany:<job> --wrap 'notchwright merge out/hub shares/*'
# (afterany: a share with a variant that cannot be solved ends with 1; the merge refuses where a share is missing)
#SBATCH --job-name=hub-sweep
#SBATCH --array=1-4
#SBATCH --cpus-per-task=2
#SBATCH --mem-per-cpu=1G
#SBATCH --time=00:30:00
set -eu
exec notchwright run hub-sweep.yaml \
  --part "$SLURM_ARRAY_TASK_ID/$SLURM_ARRAY_TASK_COUNT" \
  --out "shares/$SLURM_ARRAY_TASK_ID" \
  --workers "${SLURM_CPUS_PER_TASK:-1}" --no-maps --quiet

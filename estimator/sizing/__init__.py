"""From the job to the design: what the supply can carry, which wire, which raceway."""

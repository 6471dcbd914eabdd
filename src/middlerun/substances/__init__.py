"""Physical properties and vapour-liquid equilibrium of ethanol and water."""

"""How closely people who mark the same tests agree."""

-- want: wrong_unit.lua:6: unit: a stand wreck cannot happen to the C1; kinds that can: caster breakout, nozzle clogging, short stop, slow-down, sequence broken, supply lost; a stand wreck happens to "finishing train"
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" {
  unit = "C1", at = "2031-11-07 07:00", lasts = "8 h",
}

-- want: unknown_kind.lua:7: there is no kind of upset "stand wrek"; did you mean "stand wreck"? A name of your own needs kind = "..." beside it
-- want: unknown_kind.lua:8: there is no kind of upset "my own name"; add kind = "...", one of "simple cobble", "bad cobble", "stand wreck", "roll change forced", "furnace trip", "furnace beam jam", "slab crane out", "caster breakout", "nozzle clogging", "coiler down", "descaling pump lost", "late heat", "short stop", "weld break", "looper exhausted", "strip break in the tanks", "acid out", "cold-mill break", "bell crane out", "protective gas lost", "dispatch blocked", "slow-down", "sequence broken" or "supply lost"
-- want: unknown_kind.lua:9: kind: there is no kind of upset "cobble"; write one of "simple cobble", "bad cobble", "stand wreck", "roll change forced", "furnace trip", "furnace beam jam", "slab crane out", "caster breakout", "nozzle clogging", "coiler down", "descaling pump lost", "late heat", "short stop", "weld break", "looper exhausted", "strip break in the tanks", "acid out", "cold-mill break", "bell crane out", "protective gas lost", "dispatch blocked", "slow-down", "sequence broken" or "supply lost"
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wrek" { unit = "finishing train", at = "2031-11-07 07:00", lasts = "8 h" }
upset "my own name" { unit = "finishing train", at = "2031-11-07 07:00", lasts = "8 h" }
upset "another name" { kind = "cobble", unit = "finishing train", at = "2031-11-07 07:00", lasts = "8 h" }

-- want: upset_units.lua:14: units: an upset of several units needs two at least; write unit = "..." for one
-- want: upset_units.lua:15: units: the C1 is there twice; take one out
-- want: upset_units.lua:16: units: there is no unit "C9"; did you mean "C1"?
-- want: upset_units.lua:17: units: there is a unit beside it; write one of the two
-- want: upset_units.lua:18: units: a simple cobble is drawn piece by piece and cannot hit several units; write one unit
-- want: upset_units.lua:19: units: a sequence broken cannot happen to the rougher; kinds that can: short stop, slow-down, supply lost; a sequence broken happens to "C1" or "C2"
-- want: upset_units.lua:20: unit: the F1 has no pace that could be lowered; a furnace slows by its gas: kind = "furnace trip"; other units stand: kind = "short stop"
-- want: upset_units.lua:21: upset "h" needs 'slow'; add slow = "60 %"
-- want: upset_units.lua:22: unit: a blast furnace is slowed by its wind and never stopped; write another unit
-- want: upset_units.lua:23: unknown key 'stops_after' in upset "j"; keys here are kind, unit, units, at, has_lasted, lasts, longest, told, ruins, comes_back, downgrades, source, caution, note
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "a" { kind = "supply lost", units = { "C1" }, at = "2031-11-07 07:00", lasts = "8 h" }
upset "b" { kind = "supply lost", units = { "C1", "C1" }, at = "2031-11-07 07:00", lasts = "8 h" }
upset "c" { kind = "supply lost", units = { "C1", "C9" }, at = "2031-11-07 07:00", lasts = "8 h" }
upset "d" { kind = "supply lost", unit = "C1", units = { "C1", "C2" }, at = "2031-11-07 07:00", lasts = "8 h" }
upset "e" { kind = "simple cobble", units = { "finishing train", "rougher" }, at = "2031-11-07 07:00", lasts = "8 h" }
upset "f" { kind = "sequence broken", units = { "C1", "rougher" }, at = "2031-11-07 07:00", lasts = "8 h" }
upset "g" { kind = "slow-down", unit = "F1", slow = "50 %", at = "2031-11-07 07:00", lasts = "8 h" }
upset "h" { kind = "slow-down", unit = "rougher", at = "2031-11-07 07:00", lasts = "8 h" }
upset "i" { kind = "short stop", unit = "iron supply", at = "2031-11-07 07:00", lasts = "8 h" }
upset "j" { kind = "short stop", unit = "rougher", stops_after = "5 min", at = "2031-11-07 07:00", lasts = "8 h" }

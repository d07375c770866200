-- want: unknown_works_word.lua:10: unknown word 'do_something' of the works; its words are await, await_until, await_stop, await_restart, now, clock, store, unit, caster, furnace, furnaces, heats, iron, overflow, note, charge, change_rolls, pull_planned_stop, restart_ramp, stop_tapping, resume_tapping, coil_yard, pickle_line, cold_mill, annealing, temper_mill, dispatch, overtime
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" {
  unit = "finishing train", at = "2031-11-07 07:00", lasts = "8 h",
  told = { after = "20 min", low = "4 h", likely = "8 h", bad = "26 h" },
}
plan "p" (function (works)
  works:do_something()
end)

-- want: unknown_unit_in_plan.lua:10: there is no unit 'finishing trane', did you mean 'finishing train'?
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" {
  unit = "finishing train", at = "2031-11-07 07:00", lasts = "8 h",
  told = { after = "20 min", low = "4 h", likely = "8 h", bad = "26 h" },
}
plan "p" (function (works)
  works:await_stop("finishing trane")
end)

-- want: dot_for_colon.lua:10: write a colon before 'stop_tapping', not a dot
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" {
  unit = "finishing train", at = "2031-11-07 07:00", lasts = "8 h",
  told = { after = "20 min", low = "4 h", likely = "8 h", bad = "26 h" },
}
plan "p" (function (works)
  works.stop_tapping()
end)

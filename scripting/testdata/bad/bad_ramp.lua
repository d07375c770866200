-- want: bad_ramp.lua:10: pace: "170 %" is not between 0 % and 100 %; write a share of the whole, for example "60 %"
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" {
  unit = "finishing train", at = "2031-11-07 07:00", lasts = "8 h",
  told = { after = "20 min", low = "4 h", likely = "8 h", bad = "26 h" },
}
plan "p" (function (works)
  works:restart_ramp { pace = "170 %", slabs = 6 }
end)

-- want: set_a_field.lua:10: a caster can be looked at but not set; pull a lever instead
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" {
  unit = "finishing train", at = "2031-11-07 07:00", lasts = "8 h",
  told = { after = "20 min", low = "4 h", likely = "8 h", bad = "26 h" },
}
plan "p" (function (works)
  works:caster("C1").speed = 0.7
end)

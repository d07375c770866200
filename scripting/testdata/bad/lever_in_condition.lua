-- want: lever_in_condition.lua:11: a condition may look but not pull levers, and 'slow_to' is a lever; pull it after the wait
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" {
  unit = "finishing train", at = "2031-11-07 07:00", lasts = "8 h",
  told = { after = "20 min", low = "4 h", likely = "8 h", bad = "26 h" },
}
plan "p" (function (works)
  works:await(function ()
    works:caster("C1"):slow_to("0.7 m/min")
    return true
  end)
end)

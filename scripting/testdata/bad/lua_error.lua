-- want: lua_error.lua:12: 'order' asked of 'later', which is nil (nothing) | check that the value was set before this line and that its name is spelt right
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" {
  unit = "finishing train", at = "2031-11-07 07:00", lasts = "8 h",
  told = { after = "20 min", low = "4 h", likely = "8 h", bad = "26 h" },
}
plan "p" (function (works)
  local later = nil
  works:await("1 h")
  later.order()
end)

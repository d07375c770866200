-- want: endless_loop.lua:13: plan used more than 1000000 steps between two waits; is there a loop without a wait?
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" {
  unit = "finishing train", at = "2031-11-07 07:00", lasts = "8 h",
  told = { after = "20 min", low = "4 h", likely = "8 h", bad = "26 h" },
}
plan "p" (function (works)
  local n = 0
  while true do
    n = n + 1
  end
end)

-- want: told_too_early.lua:11: nobody has said yet how long it will last; wait for it with works:await(stop.first_word)
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" {
  unit = "finishing train", at = "2031-11-07 07:00", lasts = "8 h",
  told = { after = "20 min", low = "4 h", likely = "8 h", bad = "26 h" },
}
plan "p" (function (works)
  local stop = works:await_stop("finishing train")
  print(stop.told.likely)
end)

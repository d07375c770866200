-- want: wait_in_condition.lua:11: cannot wait inside a function that is only asked for an answer
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" {
  unit = "finishing train", at = "2031-11-07 07:00", lasts = "8 h",
  told = { after = "20 min", low = "4 h", likely = "8 h", bad = "26 h" },
}
plan "p" (function (works)
  works:await(function ()
    works:await("1 h")
    return true
  end)
end)

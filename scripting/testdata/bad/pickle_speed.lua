-- want: pickle_speed.lua:6: the usual process speed changes with the coil: write a share of it, such as "60 %"
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
plan "p" (function (works)
  works:pickle_line():speed_to("2 m/s")
end)

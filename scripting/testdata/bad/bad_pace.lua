-- want: bad_pace.lua:6: pace: "160 %" is out of range; write 5 % to 100 %
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" { at = "2031-11-07 07:00", lasts = "8 h",
  comes_back = { pace = "160 %", for_ = "2 h" },
}

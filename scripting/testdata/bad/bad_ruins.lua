-- want: bad_ruins.lua:7: ruins: there is no such ruin "strip in the tran"; did you mean "strip in the train"?
-- want: bad_ruins.lua:7: slow: a stand wreck stops its unit and does not slow it; take it out
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" { at = "2031-11-07 07:00", lasts = "8 h",
  ruins = { "strip in the tran" }, slow = "70 %",
}

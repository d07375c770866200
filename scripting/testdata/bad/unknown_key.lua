-- want: unknown_key.lua:4: unknown key 'lenght' in scenario "bad"; did you mean 'length'?
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00",
  lenght = "14 d", length = "14 d",
}

-- want: open_text.lua:4: unterminated string at 'low 4 h)'
-- hint: close the quotation mark on the same line

local t = { told = "low 4 h)
}

#include "door/labels.hpp"

#include "door/qr.hpp"
#include "garden/json_writer.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tubgrove {
namespace {

constexpr int quiet_zone = 4;   // light modules around a code, as its standard wants

std::string in_link(std::string_view id) {
    std::string out;
    for (const char c : id) {
        const bool plain = (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || c == '-' || c == '_' || c == '.';
        out += plain ? std::string(1, c) : fmt::format("%{:02X}", static_cast<unsigned char>(c));
    }
    return out;
}

bool is_link(std::string_view text) {
    const bool web = text.starts_with("http://") || text.starts_with("https://");
    const auto odd = [](char c) { return c <= ' ' || c == 0x7f || c == '#' || c == '?' || c == '"'; };
    return web && text.size() < 200 && text.find('/', 8) != 8 && text.size() > 8 && std::ranges::none_of(text, odd);
}

std::string in_html(std::string_view text) {
    std::string out;
    for (const char c : text) {
        if (c == '&') out += "&amp;";
        else if (c == '<') out += "&lt;";
        else if (c == '>') out += "&gt;";
        else if (c == '"') out += "&quot;";
        else out += c;
    }
    return out;
}

constexpr std::string_view page_head = R"(<!doctype html>
<html lang="en">
<meta charset="utf-8">
<title>Labels, Tubgrove</title>
<style>
@page { margin: 14mm; }
body { margin: 0; color: #000; background: #fff; font: 12pt/1.25 system-ui, "Noto Sans", sans-serif; }
ul { list-style: none; margin: 0; padding: 0; display: flex; flex-wrap: wrap; }
li { width: 88mm; height: 36mm; box-sizing: border-box; padding: 2mm; border: .5pt dashed #000; display: flex; align-items: center; break-inside: avoid; overflow: hidden; }
svg { width: 31mm; height: 31mm; flex: none; margin-right: 2mm; }
b { display: block; font: 600 26pt/1.05 Charter, "Noto Serif", Georgia, serif; overflow-wrap: anywhere; }
b.long { font-size: 15pt; }
</style>
<ul>
)";

}  // namespace

Outcome<LabelsAnswer> labels_of(Garden& garden, const View& view, std::span<const std::string> pots, std::string_view link) {
    LabelsAnswer answer;
    if (link.empty()) {
        auto reach = reach_of(garden.configuration().doors);
        if (reach.link.empty()) return Refusal{"nobody said where a phone finds the page", "a link such as http://garden.lan:8824, or `doors: link:` in the configuration"};
        answer.link = std::move(reach.link);
        answer.from_elsewhere = reach.from_elsewhere;
    } else {
        while (link.ends_with('/')) link.remove_suffix(1);
        if (!is_link(link)) return Refusal{tubgrove::quoted(link) + " is no link to the page", "http://garden.lan:8824"};
        answer.link = link;
    }
    auto all = garden.pots(view);
    if (auto* refusal = std::get_if<Refusal>(&all)) return *refusal;
    const auto& here = std::get<PotsAnswer>(all).pots;
    for (const auto& pot : pots)
        if (std::ranges::find(here, pot, &PotLine::id) == here.end())
            return Refusal{"there is no pot " + tubgrove::quoted(pot), "pots that tubgrove pot list shows"};
    for (const auto& pot : here) {
        if (!pots.empty() && std::ranges::find(pots, pot.id) == pots.end()) continue;
        PotLabel label{.pot = pot.id, .label = pot.label, .trees = pot.trees, .bay = pot.bay, .link = answer.link + "/#/pots/" + in_link(pot.id)};
        const auto code = qr_code(label.link);
        if (!code) return Refusal{"the link is too long for a code", "a shorter one, such as http://garden.lan:8824"};
        label.code_modules = code->size;
        label.code_path = qr_path(*code);
        answer.labels.push_back(std::move(label));
    }
    return answer;
}

std::string to_json(const LabelsAnswer& answer, const Zone&) {
    JsonWriter json;
    json.begin_object();
    json.text("link", answer.link);
    json.boolean("from_elsewhere", answer.from_elsewhere);
    json.begin_array("labels");
    for (const auto& label : answer.labels) {
        json.begin_object();
        json.text("pot", label.pot);
        json.text("label", label.label);
        json.text("trees", label.trees);
        json.text("bay", label.bay);
        json.text("link", label.link);
        json.integer("code_modules", label.code_modules);
        json.text("code_path", label.code_path);
        json.end_object();
    }
    json.end_array();
    json.end_object();
    return json.take();
}

std::string labels_page(const LabelsAnswer& answer) {
    std::string page(page_head);
    for (const auto& label : answer.labels)
        page += fmt::format("<li><svg viewBox=\"-{0} -{0} {1} {1}\" role=\"img\" aria-label=\"Code that opens {2}\"><path d=\"{3}\"/></svg>"
                            "<div><b{4}>{5}</b>{6}<br>{7}</div>\n",
                            quiet_zone, label.code_modules + 2 * quiet_zone, in_html(label.link), label.code_path, label.pot.size() > 4 ? " class=\"long\"" : "",
                            in_html(label.pot), in_html(label.label), in_html(label.trees));
    return page + "</ul>\n</html>\n";
}

}  // namespace tubgrove

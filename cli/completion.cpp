// SPDX-License-Identifier: MIT
// Completion in bash.
#include "help.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <set>

namespace holdable::cli {
namespace {

std::vector<std::string> options_of(const CLI::App& app) {
    std::vector<std::string> names;
    for (const auto* option : app.get_options())
        if (option->nonpositional())
            for (const auto& name : option->get_lnames())
                names.push_back("--" + name);
    return names;
}

/// A file is wanted there, by its name.
bool wants_file(std::string_view name) {
    const std::set<std::string_view> files = {"MACHINE", "JOB", "GAUGING", "BUDGET", "FILE"};
    return files.contains(name);
}

/// What is offered at a place. @param type what CLI11 calls its value: a file that an option takes
/// has the type name FILE
std::string what_fits(const VerbHelp& help, const std::string& place, const std::string& type) {
    for (const auto& offer : help.offers)
        if (offer.at == place)
            return fmt::format("_holdable_words '{}'", fmt::join(offer.words, " "));
    if (!wants_file(type))
        return ":";
    return place == type ? "_holdable_files" : "_holdable_any"; // behind an option: to be written
}

/// What stands behind each option that takes something, and at each place without one.
std::string verb_case(const CLI::App& verb) {
    const auto& help = help_of(verb.get_name());
    auto text = fmt::format("    {})\n        case $before in\n", verb.get_name());
    std::string places;
    int place = 0;
    for (const auto* option : verb.get_options()) {
        const auto name = option->get_name(option->get_positional());
        if (option->get_positional()) {
            const bool many = option->get_items_expected_max() > 1000;
            places += fmt::format("            {}) {} ;;\n",
                                  many ? "*" : std::to_string(place++),
                                  what_fits(help, name, name));
        } else if (takes_value(*option)) {
            text += fmt::format("        {}) {}; return ;;\n",
                                name,
                                what_fits(help, name, option->get_type_name()));
        }
    }
    text += "        esac\n        if [[ $word == -* ]]; then\n";
    text += fmt::format("            _holdable_words '{}'\n", fmt::join(options_of(verb), " "));
    text += "        else\n            case $place in\n" + places;
    return text + "            esac\n        fi ;;\n";
}

} // namespace

std::string bash_completion(const CLI::App& app) {
    std::vector<std::string> names;
    std::string cases;
    for (const auto* verb : app.get_subcommands([](const CLI::App*) { return true; })) {
        names.push_back(verb->get_name());
        cases += verb_case(*verb);
    }
    std::string text = R"(# Completion of holdable in bash; made by `holdable --completion bash`.
_holdable_words() { mapfile -t COMPREPLY < <(compgen -W "$1" -- "$word"); }
_holdable_files() {
    compopt -o filenames 2>/dev/null
    mapfile -t COMPREPLY < <(compgen -d -- "$word"; compgen -f -X '!*.json' -- "$word")
}
_holdable_any() {
    compopt -o filenames 2>/dev/null
    mapfile -t COMPREPLY < <(compgen -f -- "$word")
}
_holdable() {
    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} verb= place=0 i
    # The verb, and how many words without -- stand between it and here.
    for ((i = 1; i < COMP_CWORD; i++)); do
        if [[ -z $verb ]]; then
            [[ ${COMP_WORDS[i]} == -* ]] || verb=${COMP_WORDS[i]}
        elif [[ ${COMP_WORDS[i]} != -?* && " $values " != *" ${COMP_WORDS[i-1]} "* ]]; then
            ((place++))
        fi
    done
    COMPREPLY=()
    case $verb in
    '')
)";
    text += fmt::format("        if [[ $before == --completion ]]; then _holdable_words bash; else "
                        "_holdable_words '{} {}'; fi ;;\n",
                        fmt::join(names, " "),
                        fmt::join(options_of(app), " "));
    std::set<std::string> values;
    for (const auto* verb : app.get_subcommands([](const CLI::App*) { return true; }))
        for (const auto* option : verb->get_options())
            if (option->nonpositional() && takes_value(*option))
                values.insert(option->get_name());
    const std::string_view mark = "place=0 i\n";
    text.insert(text.find(mark) + mark.size(),
                fmt::format("    local values='{}'\n", fmt::join(values, " ")));
    return text + cases + "    esac\n}\ncomplete -F _holdable holdable";
}

} // namespace holdable::cli

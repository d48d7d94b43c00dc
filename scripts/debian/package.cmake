# What is installed where, and the Debian package made of it; `scripts/package` builds it. Read from the top CMakeLists.txt.
set(here ${CMAKE_CURRENT_LIST_DIR})
set(doc share/doc/tubgrove)
install(TARGETS tubgrove RUNTIME DESTINATION bin)
install(TARGETS tubgrove-courier RUNTIME DESTINATION lib/tubgrove)
install(PROGRAMS systemd/nightly-backup DESTINATION lib/tubgrove)
install(FILES systemd/tubgrove.service systemd/tubgrove-backup.service systemd/tubgrove-backup.timer DESTINATION lib/systemd/system)
install(FILES systemd/tubgrove.sysusers DESTINATION lib/sysusers.d RENAME tubgrove.conf)
install(FILES systemd/tubgrove.tmpfiles DESTINATION lib/tmpfiles.d RENAME tubgrove.conf)
install(FILES ${here}/tubgrove.default DESTINATION /etc/default RENAME tubgrove)
install(DIRECTORY config/demo DESTINATION share/tubgrove FILES_MATCHING PATTERN "*.yaml" PATTERN "*.csv" PATTERN "*.txt")
install(FILES config/tubgrove.yaml config/garden.yaml DESTINATION ${doc}/examples)
install(FILES ${here}/copyright DESTINATION ${doc})

# What packages carry compressed, without the time of compression.
set(compressed)
function(install_compressed file folder name)
  set(out ${PROJECT_BINARY_DIR}/compressed/${name}.gz)
  add_custom_command(OUTPUT ${out}
    COMMAND ${CMAKE_COMMAND} -E copy ${file} ${PROJECT_BINARY_DIR}/compressed/${name}
    COMMAND gzip -9nf ${PROJECT_BINARY_DIR}/compressed/${name}
    DEPENDS ${file} VERBATIM)
  set(compressed ${compressed} ${out} PARENT_SCOPE)
  install(FILES ${out} DESTINATION ${folder})
endfunction()
install_compressed(${PROJECT_BINARY_DIR}/man/tubgrove.1 share/man/man1 tubgrove.1)
install_compressed(${PROJECT_BINARY_DIR}/man/tubgrove.yaml.5 share/man/man5 tubgrove.yaml.5)
install_compressed(${PROJECT_BINARY_DIR}/man/tubgrove-serve.8 share/man/man8 tubgrove-serve.8)
install_compressed(${here}/changelog ${doc} changelog)

install(FILES ${PROJECT_BINARY_DIR}/completions/tubgrove.bash DESTINATION share/bash-completion/completions RENAME tubgrove)
install(FILES ${PROJECT_BINARY_DIR}/completions/tubgrove.zsh DESTINATION share/zsh/vendor-completions RENAME _tubgrove)
install(FILES ${PROJECT_BINARY_DIR}/completions/tubgrove.fish DESTINATION share/fish/vendor_completions.d)
add_custom_target(package-files DEPENDS tubgrove tubgrove-courier manual-pages ${compressed})

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME tubgrove)
set(CPACK_PACKAGE_CONTACT "Tubgrove founders <tubgrove@packages.invalid>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "which potted trees need how much water today, and why")
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION "Tubgrove is for people who grow grafted dwarf fruit trees in pots.
Each morning it works out what the weather took out of each pot, says
how sure it is, and gives a list in walking order with the litres for
each can. It reminds of care that falls due, logs what was done, and
learns from it.
.
It has a command line and a service that brings the list to a phone. It
sends nothing anywhere unless it is told to.")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_COMPRESSION_TYPE xz)
set(CPACK_DEBIAN_PACKAGE_SECTION misc)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)
if(CMAKE_CROSSCOMPILING AND CMAKE_SYSTEM_PROCESSOR STREQUAL aarch64)
  set(CPACK_DEBIAN_PACKAGE_ARCHITECTURE arm64)
endif()
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_DEPENDS "tzdata, systemd | systemd-standalone-sysusers, systemd | systemd-standalone-tmpfiles")
# Certificates for weather over HTTPS; the library for weather that comes as messages is loaded where it is asked for.
set(CPACK_DEBIAN_PACKAGE_RECOMMENDS "ca-certificates, libmosquitto1, libical3t64 | libical3")
set(CPACK_DEBIAN_PACKAGE_CONTROL_EXTRA ${here}/postinst ${here}/prerm ${here}/postrm ${here}/conffiles)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
include(CPack)

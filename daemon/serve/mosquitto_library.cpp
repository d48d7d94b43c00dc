#include "serve/mosquitto_library.hpp"

#include "shared_library.hpp"

namespace tubgrove {
namespace {

MosquittoLibrary load() {
    const SharedLibrary library("libmosquitto", "libmosquitto.so.1",
                                "messages need libmosquitto, which is not on this machine; right would be: apt install libmosquitto1");
    MosquittoLibrary found{};
    library.find("mosquitto_lib_init", found.lib_init);
    library.find("mosquitto_new", found.create);
    library.find("mosquitto_destroy", found.destroy);
    library.find("mosquitto_threaded_set", found.threaded_set);
    library.find("mosquitto_username_pw_set", found.username_pw_set);
    library.find("mosquitto_tls_set", found.tls_set);
    library.find("mosquitto_connect", found.connect);
    library.find("mosquitto_disconnect", found.disconnect);
    library.find("mosquitto_subscribe", found.subscribe);
    library.find("mosquitto_publish", found.publish);
    library.find("mosquitto_socket", found.socket);
    library.find("mosquitto_loop_read", found.loop_read);
    library.find("mosquitto_loop_write", found.loop_write);
    library.find("mosquitto_loop_misc", found.loop_misc);
    library.find("mosquitto_want_write", found.want_write);
    library.find("mosquitto_connect_callback_set", found.connect_callback_set);
    library.find("mosquitto_subscribe_callback_set", found.subscribe_callback_set);
    library.find("mosquitto_publish_callback_set", found.publish_callback_set);
    library.find("mosquitto_message_callback_set", found.message_callback_set);
    library.find("mosquitto_strerror", found.strerror);
    library.find("mosquitto_connack_string", found.connack_string);
    found.lib_init();
    return found;
}

}  // namespace

const MosquittoLibrary& mosquitto_library() {
    static const MosquittoLibrary library = load();
    return library;
}

}  // namespace tubgrove
